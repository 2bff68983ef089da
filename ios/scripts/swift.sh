#!/usr/bin/env bash
# Swift for Linux machines that have none: fetched with apt from Debian, unpacked
# into a folder of this clone, run in a private mount namespace. Nothing is installed
# on the machine, nothing outside that folder is written, no prompt is ever shown.
#
#   ios/scripts/swift.sh ensure               get the toolchain (no-op when it is there)
#   ios/scripts/swift.sh run TOOL [ARGS...]   run one tool: swift, swiftc, swift-format
#   ios/scripts/swift.sh where                print the folder and the way it runs
#
# Exit status 77 means "cannot be had on this machine" (a reason is printed on
# stderr). With SWIFT_REQUIRED=1 that becomes 1, so CI cannot skip by accident.
#
#   SWIFT_CACHE    where it lives (default .build/swift; safe to delete; about 1.1 GB)
#   SWIFT_MIRROR   Debian mirror, when the machine's own apt names none
#   SWIFT_BINDS    more folders the tools may see, colon separated
#   SWIFT_JAIL     root | userns | proot | native: force one way of running
set -euo pipefail

SUITE=trixie
PACKAGES=(swiftlang swiftlang-dev libstdc++-14-dev libc6-dev proot)
RECIPE=1 # raise when PACKAGES or PRUNE change: the cache is then rebuilt
# Not needed to build, test, format or parse; saves 1.4 GB of disk.
# (usr/share/zoneinfo must stay: Foundation reads it.)
PRUNE=(
  './usr/libexec/swift/bin/lldb*' './usr/libexec/swift/bin/clangd' './usr/libexec/swift/bin/docc'
  './usr/libexec/swift/bin/lld' './usr/libexec/swift/bin/sourcekit-lsp'
  './usr/libexec/swift/bin/swift-build-sdk-interfaces' './usr/libexec/swift/share'
  './usr/libexec/swift/lib/liblldb*' './usr/libexec/swift/lib/libsourcekitdInProc*'
  './usr/libexec/swift/lib/libLTO*' './usr/libexec/swift/lib/swift/embedded'
  './usr/libexec/swift/lib/swift/migrator' './usr/libexec/swift/lib/swift/FrameworkABIBaseline'
  './usr/libexec/swift/lib/swift_static' './usr/libexec/gcc'
  './usr/share/doc' './usr/share/man' './usr/share/locale' './usr/share/info' './usr/share/lintian'
)

REPO=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd -P)
CACHE=${SWIFT_CACHE:-$REPO/.build/swift}
case $CACHE in /*) ;; *) CACHE=$PWD/$CACHE ;; esac
ROOT=$CACHE/root
APT=$CACHE/apt
SWIFT_BIN=/usr/libexec/swift/bin
PATH=$PATH:/usr/sbin:/sbin

say() { printf 'swift.sh: %s\n' "$*" >&2; }
die() { say "error: $*"; exit 1; }
unavailable() {
  [ "${SWIFT_REQUIRED:-0}" = 1 ] && die "Swift is required here but $*"
  say "unavailable: $*"
  exit 77
}

# ---------------------------------------------------------------- getting it

# The mirror that this machine's own apt uses for its Debian release. `update
# --print-uris` needs no downloaded lists, so it works on a new machine too.
own_mirror() {
  local codename
  codename=$(. /etc/os-release && printf %s "${VERSION_CODENAME:-}")
  apt-get --print-uris update 2>/dev/null |
    sed -n "s|^'\(.*\)/dists/${codename:-none}/InRelease'.*|\1|p" | awk 'NR==1'
}

write_apt_conf() { # a private apt: its own lists, archives and empty dpkg status
  local mirror=$1 keyring=$2
  mkdir -p "$APT"/{etc/apt.conf.d,etc/preferences.d,etc/sources.list.d,etc/trusted.gpg.d} \
    "$APT"/{lists/partial,archives/partial,log}
  : >"$APT/status"
  printf 'deb [signed-by=%s] %s %s main\n' "$keyring" "$mirror" "$SUITE" >"$APT/etc/sources.list"
  {
    # proxies, certificates and date checks as the machine has them
    apt-config dump | grep -E '^Acquire::(http|https|Check-|Proxy|ForceIPv)[^ ]* "[^"]+";' || true
    cat <<CONF
Dir "/";
Dir::Etc "$APT/etc";
Dir::Etc::netrc "/etc/apt/auth.conf";
Dir::Etc::netrcparts "/etc/apt/auth.conf.d";
Dir::State "$APT";
Dir::State::lists "$APT/lists";
Dir::State::status "$APT/status";
Dir::Cache "$APT";
Dir::Cache::archives "$APT/archives";
Dir::Log "$APT/log";
APT::Architecture "$(dpkg --print-architecture)";
APT::Architectures { "$(dpkg --print-architecture)"; };
APT::Install-Recommends "false";
APT::Sandbox::User "$(id -un)";
Acquire::Languages "none";
Acquire::Retries "3";
Acquire::http::Timeout "60";
Acquire::https::Timeout "60";
CONF
  } >"$APT/apt.conf"
}

ensure() {
  [ "$(jail)" = native ] && return 0
  [ "$(cat "$ROOT/.complete" 2>/dev/null)" = "$SUITE-$RECIPE" ] && return 0

  local t
  for t in apt-get apt-config dpkg dpkg-deb tar flock; do
    command -v "$t" >/dev/null || unavailable "this machine has no $t (Debian or a relative is needed)"
  done
  mkdir -p "$CACHE" || unavailable "the cache folder cannot be made"
  [ "$(df -Pm "$CACHE" | awk 'NR==2{print $4}')" -ge 2500 ] || unavailable "less than 2.5 GB free for the cache"
  exec 9>"$CACHE/lock"
  flock 9 # a second caller waits, then finds it complete
  [ "$(cat "$ROOT/.complete" 2>/dev/null)" = "$SUITE-$RECIPE" ] && { exec 9>&-; return 0; }

  local mirror keyring=/usr/share/keyrings/debian-archive-keyring.gpg
  mirror=${SWIFT_MIRROR:-$(own_mirror)}
  [ -n "$mirror" ] || unavailable "apt names no Debian mirror (set SWIFT_MIRROR)"
  [ -r "$keyring" ] || unavailable "the package debian-archive-keyring is missing"

  # Downloads resume: apt keeps finished and partial files in the cache.
  write_apt_conf "$mirror" "$keyring"
  local apt=(env "APT_CONFIG=$APT/apt.conf" DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get -q)
  say "fetching Swift from Debian $SUITE (about 550 MB)"
  "${apt[@]}" update >"$APT/log/update" 2>&1 </dev/null || true
  # `apt-get update` can exit 0 when nothing was fetched: ask for the package itself
  env "APT_CONFIG=$APT/apt.conf" apt-cache show swiftlang >/dev/null 2>&1 ||
    unavailable "Debian $SUITE cannot be reached or has no swiftlang for $(dpkg --print-architecture)"
  "${apt[@]}" install --simulate -y "${PACKAGES[@]}" >"$APT/log/plan" 2>&1 </dev/null ||
    { tail -n 5 "$APT/log/plan" >&2; die "apt cannot resolve ${PACKAGES[*]}"; }
  "${apt[@]}" install --download-only -y "${PACKAGES[@]}" >"$APT/log/fetch" 2>&1 </dev/null ||
    { tail -n 5 "$APT/log/fetch" >&2; die "the download failed; run again to resume"; }

  # Unpack exactly what apt planned. No maintainer script runs: none is needed.
  local tmp=$CACHE/root.partial name version deb x=()
  rm -rf "$tmp"
  mkdir -p "$tmp"
  for t in "${PRUNE[@]}"; do x+=(--exclude="$t"); done
  say "unpacking"
  while read -r name version; do
    deb=$(ls "$APT/archives/${name}_${version//:/%3a}"_*.deb) || die "$name $version was not fetched"
    dpkg-deb --fsys-tarfile "$deb" | tar -x -C "$tmp" --no-same-owner "${x[@]}"
  done < <(sed -n 's/^Inst \([^ :]*\)[^ ]* (\([^ ]*\) .*/\1 \2/p' "$APT/log/plan")
  for t in bin sbin lib lib64; do ln -sfn "usr/$t" "$tmp/$t"; done # base-files would do this
  printf '%s' "$SUITE-$RECIPE" >"$tmp/.complete"
  rm -rf "$ROOT"
  mv "$tmp" "$ROOT"
  [ "${SWIFT_KEEP_DEBS:-0}" = 1 ] || rm -rf "$APT"
  exec 9>&-
}

# ---------------------------------------------------------------- running it

# Which way of running works here. The tools need their own /usr (newer glibc)
# and a real /proc: without /proc they cannot find libswiftCore.so.
jail() {
  local first
  if [ -n "${SWIFT_JAIL:-}" ]; then echo "$SWIFT_JAIL"; return; fi
  first=$(swift --version 2>/dev/null | grep -oE 'Swift version [0-9]+' | grep -oE '[0-9]+$' || true)
  if [ "${first:-0}" -ge 6 ]; then
    echo native
  elif [ "$(id -u)" = 0 ] && unshare --mount --propagation private true 2>/dev/null; then
    echo root
  elif unshare --user --map-root-user --mount --propagation private mount -t tmpfs tmpfs /mnt 2>/dev/null; then
    echo userns
  else
    echo proot # slower, needs only ptrace
  fi
}

run() {
  local tool=$1 mode binds=() b
  shift
  mode=$(jail)
  if [ "$mode" = native ]; then exec "$tool" "$@"; fi
  IFS=: read -r -a binds <<<"$REPO${SWIFT_BINDS:+:$SWIFT_BINDS}"
  for b in "${binds[@]}"; do [ -d "$b" ] || die "no such folder: $b"; done
  mkdir -p "$CACHE/home" "$CACHE/mnt"
  # A clean environment: the machine's LD_LIBRARY_PATH or LD_PRELOAD would pull
  # in libraries for the wrong glibc. PWD must not be / (swift-format trips on it).
  local vars=("PATH=$SWIFT_BIN:/usr/bin" "HOME=$CACHE/home" LANG=C.UTF-8 "TZ=${TZ:-UTC}" TMPDIR=/tmp)
  for b in $(compgen -e DOORYARD_); do vars+=("$b=${!b}"); done # what the tests are told
  local cwd=$PWD
  case $cwd/ in "$REPO"/*) ;; *) cwd=$REPO ;; esac

  case $mode in
  root | userns)
    local ns=(unshare --mount --propagation private)
    [ "$mode" = userns ] && ns=(unshare --user --map-root-user --mount --propagation private)
    exec "${ns[@]}" -- bash -euc '
      root=$1 mnt=$2 home=$3 cwd=$4 nb=$5 nv=$6; shift 6
      mount -t tmpfs -o mode=755 tmpfs "$mnt"
      cd "$mnt"
      mkdir -m 1777 tmp
      for d in usr etc; do mkdir $d; mount --rbind "$root/$d" $d; done
      for d in proc dev; do mkdir $d; mount --rbind "/$d" $d; done
      for d in bin sbin lib lib64; do ln -s usr/$d $d; done
      bind() { mkdir -p "./$1"; mount --rbind "$1" "./$1"; }
      bind "$home"
      while [ "$nb" -gt 0 ]; do bind "$1"; shift; nb=$((nb - 1)); done
      exec env -i "${@:1:nv}" unshare --root=. --wd="$cwd" "${@:nv + 1}"
    ' jail "$ROOT" "$CACHE/mnt" "$CACHE/home" "$cwd" "${#binds[@]}" "${#vars[@]}" \
      "${binds[@]}" "${vars[@]}" "$SWIFT_BIN/$tool" "$@"
    ;;
  proot)
    local ld lib tmp args=()
    for ld in "$ROOT"/usr/lib64/ld-linux-*.so.* "$ROOT"/usr/lib/ld-linux-*.so.*; do [ -e "$ld" ] && break; done
    lib=$ROOT/usr/lib/$(uname -m)-linux-gnu
    tmp=$(mktemp -d)
    # shellcheck disable=SC2064
    trap "rm -rf '$tmp'" EXIT
    for b in /proc /dev "$tmp:/tmp" "$CACHE/home" "${binds[@]}"; do args+=(-b "$b"); done
    env -i "${vars[@]}" "PROOT_TMP_DIR=$tmp" "$ld" --library-path "$lib" "$ROOT/usr/bin/proot" \
      -r "$ROOT" "${args[@]}" -w "$cwd" "$SWIFT_BIN/$tool" "$@"
    ;;
  *) die "unknown way of running: $mode" ;;
  esac
}

case ${1:-} in
ensure)
  ensure
  (run swift --version) >/dev/null 2>&1 ||
    unavailable "Swift was fetched but cannot be started: neither mount namespaces nor ptrace are allowed"
  ;;
run) shift; [ $# -gt 0 ] || die "run what?"; ensure; run "$@" ;;
where) printf '%s (%s)\n' "$CACHE" "$(jail)" ;;
*) sed -n '2,18p' "${BASH_SOURCE[0]}"; exit 2 ;;
esac
