#!/usr/bin/env bash
# Runs a command, .ci/run unless another is named, on a fresh clone of HEAD in a Debian that knows
# nothing of this machine: none of its fonts, packages, settings, home folders or earlier runs.
#
#   sudo tests/bare_machine.sh FOLDER bookworm                        # Debian 12: Inkscape 1.2, Python 3.11
#   sudo tests/bare_machine.sh FOLDER trixie .ci/run tests/editor     # Debian 13: Inkscape 1.4, Python 3.13
#
# The exit status is the command's.  FOLDER keeps RELEASE.base, as debootstrap made it, and RELEASE, the
# machine of the last run, made anew by the next.  Needs debootstrap, git and about 2.5 GB for each
# release; packages come from the mirror that apt uses here, or from the one named in MIRROR.
set -euo pipefail

if [ $# -lt 2 ]; then
  sed -n '2,/^set/s/^# \{0,1\}//p' "$0" >&2
  exit 2
fi
repository="$(cd "$(dirname "$0")/.." && pwd)"
mkdir -p "$1"
base="$(cd "$1" && pwd)/$2.base" machine="$(cd "$1" && pwd)/$2" release="$2"
shift 2
[ $# -gt 0 ] || set -- .ci/run

if [ ! -d "$base" ]; then
  mirror="${MIRROR:-$(apt-get indextargets --format '$(REPO_URI)' 'Created-By: Packages' 'Label: Debian' | sed -n 1p)}"
  [ -n "$mirror" ] || { echo "No Debian mirror is known here: name one in MIRROR." >&2; exit 2; }
  rm -rf "$base.unfinished"
  # An older Debian has no keys yet to check a newer one by; the machine itself checks its packages.
  debootstrap --variant=minbase --no-check-gpg "$release" "$base.unfinished" "$mirror" >"$base.log" 2>&1 ||
    { tail -n 20 "$base.log" >&2; exit 1; }
  mv "$base.unfinished" "$base"
fi
rm -rf --one-file-system "$machine"
cp -a "$base" "$machine"
git clone -q --no-local "$repository" "$machine/clone"

# The way to the network is the one thing taken from here: names, proxies, certificates.
cp -L /etc/resolv.conf /etc/hosts "$machine/etc/"
apt-config dump | grep -E '^Acquire::(https?|Check)' >"$machine/etc/apt/apt.conf.d/00network" || true
network=()
for name in http_proxy https_proxy no_proxy HTTP_PROXY HTTPS_PROXY NO_PROXY; do
  [ -z "${!name:-}" ] || network+=("$name=${!name}")
done
if [ -n "${SSL_CERT_FILE:-}" ]; then
  cp -L "$SSL_CERT_FILE" "$machine/etc/certificates.pem"
  network+=(SSL_CERT_FILE=/etc/certificates.pem PIP_CERT=/etc/certificates.pem)
fi

# In a name space of its own: what is mounted and started there ends with the command, so that the
# folder can be deleted at any time.
exec env -i "${network[@]}" PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin HOME=/root \
  unshare --mount --propagation private --pid --fork --kill-child bash -euc '
    machine="$1"
    shift
    mount -t proc proc "$machine/proc"
    mount --rbind /dev "$machine/dev"
    mount -t tmpfs tmpfs "$machine/dev/shm"
    exec chroot "$machine" bash -euc "cd /clone && exec \"\$@\"" - "$@"
  ' - "$machine" "$@"
