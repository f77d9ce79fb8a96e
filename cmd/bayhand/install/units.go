package install

// userUnit runs the daemon of the studio in a person's own folder.
func userUnit(h Hardening) string {
	return `[Unit]
Description=bayhand, the hand at the patch bay
Documentation=man:bayhand-daemon(1)
ConditionPathExists=%h/bayhand/studio.yaml

[Service]
Type=notify
ExecStart=/usr/bin/bayhand daemon --log --studio %h/bayhand/studio.yaml
` + restarts + h.Everywhere + `
[Install]
WantedBy=default.target
`
}

// machineUnit runs the daemon of the studio in /srv/bayhand/NAME, as the system
// user of the package: systemctl enable --now bayhand@NAME.
func machineUnit(h Hardening) string {
	return `[Unit]
Description=bayhand, the hand at the patch bay of %i
Documentation=man:bayhand-daemon(1)
ConditionPathExists=/srv/bayhand/%i/studio.yaml
After=network.target sound.target

[Service]
Type=notify
ExecStart=/usr/bin/bayhand daemon --log --studio /srv/bayhand/%i/studio.yaml --state /var/lib/bayhand/%i
User=bayhand
StateDirectory=bayhand/%i
StateDirectoryMode=0700
ReadWritePaths=-/srv/bayhand/%i
` + restarts + h.Everywhere + h.Machine + `
[Install]
WantedBy=multi-user.target
`
}

const restarts = `Restart=on-failure
RestartSec=2
WatchdogSec=30
UMask=0077
`

// users has the words of sysusers.d(5). The groups own serial lines and sound
// cards with their MIDI ports.
const users = `# The system user of the service, who cannot log in.
g audio   - -
g dialout - -
u bayhand - "the hand at the patch bay" /var/lib/bayhand
m bayhand audio
m bayhand dialout
`

// folders has the words of tmpfiles.d(5): where the studios of this machine are,
// with the sessions that the service may write.
const folders = `d /srv/bayhand 2775 bayhand bayhand -
`

// rules has the words of udev(7). An adapter for a serial line has one interface,
// where a modem has several; of the class for communication devices (USB CDC 1.2,
// PSTN subclass, table 17) protocol 1 is a modem that takes commands, 0 is not.
const rules = `# Serial lines by USB: who sits at the machine may open them, and so may the
# group dialout; nothing asks on them whether a modem is there. A modem on such
# an adapter needs a rule of your own after this one, with ID_MM_PORT_IGNORE="0".
ACTION=="remove", GOTO="bayhand_end"
SUBSYSTEM!="tty", GOTO="bayhand_end"
SUBSYSTEMS=="usb", ATTRS{bNumInterfaces}==" 1", ENV{ID_MM_PORT_IGNORE}="1", TAG+="uaccess"
SUBSYSTEMS=="usb", ATTRS{bInterfaceClass}=="02", ATTRS{bInterfaceProtocol}=="00", ENV{ID_MM_PORT_IGNORE}="1", TAG+="uaccess"
LABEL="bayhand_end"
`
