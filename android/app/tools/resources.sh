#!/bin/sh
# Compiles the resources: R.java, a resource APK, and what tells the tests where these are.
# usage: resources.sh AAPT2 FRAMEWORK OUTDIR
set -eu
aapt2=$1 framework=$2 out=$3
here=$(cd "$(dirname "$0")/.." && pwd)
chmod +x "$aapt2" 2>/dev/null || true
mkdir -p "$out/r"
"$aapt2" compile --dir "$here/src/main/res" -o "$out/compiled.zip"
"$aapt2" link -o "$out/resources.apk" -I "$framework" \
  --manifest "$here/src/main/AndroidManifest.xml" --java "$out/r" --non-final-ids --auto-add-overlay \
  --min-sdk-version 26 --target-sdk-version 34 "$out/compiled.zip"
mkdir -p "$out/test-config/com/android/tools"
cat > "$out/test-config/com/android/tools/test_config.properties" <<P
android_merged_manifest=$here/src/main/AndroidManifest.xml
android_resource_apk=$out/resources.apk
android_custom_package=org.dooryard.app
P
