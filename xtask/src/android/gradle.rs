//! The files for Android Studio against those of Maven: nothing here runs the first, so that they are at least compared.

use std::{collections::BTreeMap, fs};

use crate::shell::root;

fn android(file: &str) -> String {
    fs::read_to_string(root().join("android").join(file)).unwrap()
}

/// What stands between a mark and its end, each time.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Vec<&'a str> {
    text.split(from).skip(1).filter_map(|rest| rest.split(to).next()).collect()
}

/// `name = "value"` below a head.
fn table<'a>(toml: &'a str, head: &str) -> BTreeMap<&'a str, &'a str> {
    let part = between(toml, &format!("[{head}]\n"), "\n[")[0];
    part.lines()
        .filter_map(|line| line.split_once(" = "))
        .map(|(name, value)| (name, value.trim_matches('"')))
        .collect()
}

#[test]
fn the_studio_has_the_versions_of_maven() {
    let (pom, toml) = (android("pom.xml"), android("gradle/libs.versions.toml"));
    let versions = table(&toml, "versions");
    assert!(versions.len() >= 5);
    for (name, version) in versions.iter().filter(|(name, _)| **name != "android-plugin") {
        let in_maven = between(&pom, &format!("<{name}.version>"), "</");
        assert_eq!(in_maven, [*version], "{name}");
    }
}

#[test]
fn the_studio_has_the_modules_folders_and_levels_of_maven() {
    let (pom, settings, app) = (android("pom.xml"), android("settings.gradle.kts"), android("app/build.gradle.kts"));
    let modules = between(&pom, "<module>", "</module>");
    assert_eq!(modules.len(), 3);
    for module in &modules {
        assert!(settings.contains(&format!("\":{module}\"")), "{module}");
        assert!(root().join("android").join(module).join("build.gradle.kts").is_file(), "{module}");
    }
    assert_eq!(between(&settings, "\":", "\""), modules);
    let manifest = android("app/src/main/AndroidManifest.xml");
    for (studio, ours) in [
        ("minSdk = ", "android:minSdkVersion=\""),
        ("targetSdk = ", "android:targetSdkVersion=\""),
        ("versionCode = ", "android:versionCode=\""),
        ("versionName = \"", "android:versionName=\""),
        ("applicationId = \"", "package=\""),
        ("namespace = \"", "package=\""),
    ] {
        let value = between(&app, studio, "\n")[0].trim_matches('"');
        assert_eq!(between(&manifest, ours, "\"")[0], value, "{studio}");
    }
    for folder in ["src/main/kotlin", "tools/rules.pro"] {
        assert!(app.contains(folder) && root().join("android/app").join(folder).exists(), "{folder}");
    }
}
