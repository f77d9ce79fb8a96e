#!/usr/bin/env bash
# boot.sh FOLDER: boot a Debian kernel in an emulated machine with real lines, run
# /bay/run there, which is FOLDER/run, and end with its exit status.
#
# The machine has the sequencer, a virtual raw MIDI card, a sound loopback, two
# 16550 lines with a cable between them (ttyS1 and ttyS2), and a USB socket; `plug`
# puts a MIDI interface and a serial adapter in, and `unplug` pulls them out.
#
#   GUEST_SECONDS   how long it may take; 170
#   GUEST_CACHE     where the kernel is kept; a folder in the user's cache
#
# Exit status 124 is a machine that took too long, 125 one that could not be made.
# Needs from Debian: qemu-system-x86 busybox-static kmod cpio xz-utils; and alsa-utils
# for a recording by another program.
set -euo pipefail
fail() { echo "boot.sh: $*" >&2; exit 125; }
[ $# -eq 1 ] && [ -x "$1/run" ] || fail "write: boot.sh FOLDER, with a program run in it"
for program in qemu-system-x86_64 busybox depmod modprobe cpio xz apt-get; do
	command -v "$program" >/dev/null || fail "$program is missing"
done
seconds=${GUEST_SECONDS:-170}
cache=${GUEST_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/bayhand-guest}
mkdir -p "$cache"
scratch=$(mktemp -d)
machine=
trap '[ -z "$machine" ] || kill "$machine" 2>/dev/null || true; rm -rf "$scratch"' EXIT

# The kernel, as Debian builds it. It is taken apart here and not installed.
if [ ! -e "$cache/ready" ]; then
	package=$(apt-cache depends linux-image-amd64 | sed -n 's/^ *Depends: *\(linux-image-[^ ]*\)$/\1/p' | head -1)
	[ -n "$package" ] || fail "Debian's lists name no kernel"
	(cd "$scratch" && apt-get download -q "$package" >&2) || fail "$package could not be had"
	rm -rf "$cache/kernel"
	dpkg-deb -x "$scratch/$package"_*.deb "$cache/kernel"
	version=$(basename "$cache"/kernel/boot/vmlinuz-*); version=${version#vmlinuz-}
	depmod -b "$cache/kernel" "$version"
	# Emulated, the kernel would take seconds to unpack itself.
	image=$cache/kernel/boot/vmlinuz-$version
	at=$(LC_ALL=C grep -obUaP '\xfd7zXZ\x00' "$image" | head -1 | cut -d: -f1)
	tail -c +$((at + 1)) "$image" | xz -dc --single-stream 2>/dev/null >"$cache/vmlinux" || true
	[ "$(head -c 4 "$cache/vmlinux" | tail -c 3)" = ELF ] || fail "the kernel is not packed as it used to be"
	echo "$version" >"$cache/ready"
fi
version=$(cat "$cache/ready")

# The first file system: modules in the order to load them, and what is to run.
root=$scratch/root
mkdir -p "$root"/{bin,dev,proc,sys,tmp,modules,config}
cp "$(command -v busybox)" "$root/bin/busybox"
options() { # MODULE
	case $1 in
	snd-virmidi) echo "index=0 midi_devs=2" ;;
	snd-aloop) echo "index=1 pcm_substreams=1" ;;
	esac
}
for module in snd-seq-midi snd-virmidi snd-aloop snd-usb-audio cdc-acm dummy_hcd usb_f_midi usb_f_acm; do
	modprobe -d "$cache/kernel" -S "$version" --show-depends "$module" | while read -r what path _; do
		[ "$what" = insmod ] || continue
		name=$(basename "$path")
		[ ! -e "$root/modules/$name" ] || continue
		cp "$path" "$root/modules/"
		own=${name%%.ko*}
		echo "$name $(options "${own//_/-}")" >>"$root/modules/order"
	done
done
# The recorder of ALSA's own tools, where it is there, with its libraries.
if command -v aplay arecord >/dev/null; then
	cp -L "$(command -v aplay)" "$root/bin/aplay"
	ln -s aplay "$root/bin/arecord"
	ldd "$root/bin/aplay" | grep -o '/[^ ]*' | while read -r library; do
		mkdir -p "$root$(dirname "$library")"
		cp -L "$library" "$root$library"
	done
	mkdir -p "$root/usr/share"
	cp -rL /usr/share/alsa "$root/usr/share/alsa"
fi
cp -rL "$1" "$root/bay"
cat >"$root/bin/plug" <<'END'
#!/bin/busybox sh
# One USB device with two functions: a MIDI interface and a serial adapter.
gadget=/config/usb_gadget/bay
if [ ! -d $gadget ]; then
	mkdir $gadget && cd $gadget || exit 1
	echo 0x1d6b >idVendor
	echo 0x0104 >idProduct
	mkdir strings/0x409 configs/c.1 functions/midi.a functions/acm.b
	echo 0001 >strings/0x409/serialnumber
	echo Boathouse >strings/0x409/manufacturer
	echo "Boathouse Lines" >strings/0x409/product
	ln -s functions/midi.a functions/acm.b configs/c.1
fi
echo dummy_udc.0 >$gadget/UDC
END
cat >"$root/bin/unplug" <<'END'
#!/bin/busybox sh
echo >/config/usb_gadget/bay/UDC
END
cat >"$root/init" <<'END'
#!/bin/busybox sh
/bin/busybox --install -s /bin
export PATH=/bin HOME=/tmp TERM=dumb
mount -t proc proc /proc
mount -t sysfs sys /sys
mount -t devtmpfs dev /dev 2>/dev/null
mkdir -p /dev/pts
mount -t devpts -o ptmxmode=666 pts /dev/pts
mount -t tmpfs tmp /tmp
exec </dev/null >/dev/ttyS0 2>&1
stty -opost </dev/ttyS0
ip link set lo up
while read -r module options; do
	insmod "/modules/$module" $options || echo "guest: $module could not be loaded"
done </modules/order
mount -t configfs none /config
read -r up _ </proc/uptime
echo "guest: up after $up s"
cd /bay
./run
echo "guest: exit status $?"
stty -opost </dev/ttyS0 # waits until the line is out
poweroff -f
END
chmod 755 "$root/init" "$root/bin/plug" "$root/bin/unplug"
(cd "$root" && find . -mindepth 1 | LC_ALL=C sort | cpio -o -H newc --quiet -R 0:0) >"$scratch/initrd"

: >"$scratch/console"
# The machine's clock counts what its processor does, and passes over idle time: so
# nothing inside is served late because this machine has other work.
qemu-system-x86_64 -accel tcg,thread=single -icount shift=0,sleep=off -cpu max -m 512 -smp 1 -nographic -nodefaults -no-reboot \
	-kernel "$cache/vmlinux" -initrd "$scratch/initrd" \
	-append "console=ttyS0 quiet panic=-1 tsc=reliable random.trust_cpu=on mitigations=off cryptomgr.notests" \
	-chardev file,id=console,path="$scratch/console" -device isa-serial,chardev=console,index=0 \
	-chardev socket,id=near,path="$scratch/cable",server=on,wait=off -device isa-serial,chardev=near,index=1 \
	-chardev socket,id=far,path="$scratch/cable" -device isa-serial,chardev=far,index=2,irq=5 \
	</dev/null &
machine=$!
tail -c +1 -s 0.2 --pid="$machine" -f "$scratch/console" &
shown=$!
late=0
(trap 'kill "$waits" 2>/dev/null' TERM; sleep "$seconds" & waits=$!; wait "$waits" && kill "$machine") 2>/dev/null &
clock=$!
wait "$machine" 2>/dev/null || late=1
kill "$clock" 2>/dev/null || true
machine=
wait "$shown" 2>/dev/null || true
status=$(tr -d '\r' <"$scratch/console" | sed -n 's/^guest: exit status \([0-9]*\)$/\1/p' | tail -1)
if [ -z "$status" ]; then
	[ "$late" = 0 ] || { echo "boot.sh: not done after $seconds s" >&2; exit 124; }
	fail "the machine ended before /bay/run did"
fi
exit "$status"
