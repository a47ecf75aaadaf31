#!/usr/bin/env bash
# The pins of the computer itself, on a real kernel: an emulated arm64 board with a PL061 GPIO chip starts
# Debian's kernel with init.cpp as its only program. Takes a quarter of a minute.
#
#   tests/board/run.sh FOLDER    works and leaves its files in FOLDER
#
# Exits 0 when every promise was kept, 1 when one was not, 3 when what it needs cannot be had.
set -euo pipefail
folder=$(mkdir -p "$1" && cd "$1" && pwd)
cd "$(dirname "$0")/../.."

cannot() {
  echo "not run: $1"
  exit 3
}

for tool in qemu-system-aarch64 aarch64-linux-gnu-g++ cpio dpkg-deb; do
  command -v "$tool" >/dev/null || cannot "no $tool (packages qemu-system-arm g++-aarch64-linux-gnu cpio)"
done

# The kernel is another architecture's package. apt learns of that in this folder only.
fetch_kernel() {
  mkdir -p "$folder"/apt/{state/lists/partial,cache/archives/partial} "$folder/kernel"
  local apt=(-o APT::Architectures::=amd64 -o APT::Architectures::=arm64
    -o "Dir::State=$folder/apt/state" -o Dir::State::status=/var/lib/dpkg/status -o "Dir::Cache=$folder/apt/cache")
  apt-get "${apt[@]}" update
  local package
  package=$(apt-cache "${apt[@]}" depends linux-image-arm64:arm64 |
    sed -nE 's/^ *Depends: (linux-image-[^:]+).*/\1/p' | head -n 1)
  [ -n "$package" ] || return 1
  (cd "$folder/kernel" && apt-get "${apt[@]}" download "$package:arm64" && dpkg-deb -x ./*.deb .)
}
kernels=("$folder"/kernel/boot/vmlinuz-*)
if [ ! -f "${kernels[0]}" ]; then
  fetch_kernel >"$folder/apt.log" 2>&1 || cannot "no linux-image-arm64 (see $folder/apt.log)"
  kernels=("$folder"/kernel/boot/vmlinuz-*)
fi

root=$folder/root
mkdir -p "$root/dev"
aarch64-linux-gnu-g++ -std=c++20 -O1 -Wall -Wextra -static -pthread -Iinclude tests/board/init.cpp \
  daemon/field/{gpio_chip,pin_thread,line_thread,board,orders,contact_duty,clock}.cpp -o "$root/init"
(cd "$root" && find . | cpio -o -H newc --quiet | gzip) >"$folder/initramfs.gz"

timeout 120 qemu-system-aarch64 -M virt -cpu cortex-a53 -m 512 -nographic -nic none -no-reboot \
  -kernel "${kernels[0]}" -initrd "$folder/initramfs.gz" -append "console=ttyAMA0 quiet panic=-1" \
  </dev/null | tee "$folder/console.log"
grep -q '^board: every promise kept' "$folder/console.log"
