package serve

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"net/netip"
	"os"
	"strings"
)

// systemUser looks for the client's end of a connection among the sockets of this
// machine: proc_net_tcp(5) has the user of each.
func systemUser(client, server netip.AddrPort) string {
	for _, table := range []struct {
		file string
		wide bool
	}{{"/proc/net/tcp", false}, {"/proc/net/tcp6", true}} {
		if !table.wide && client.Addr().Is6() {
			continue
		}
		if user := userIn(table.file, inTable(client, table.wide), inTable(server, table.wide)); user != "" {
			return user
		}
	}
	return ""
}

// userIn is the user of the socket that has these ends; empty for none.
func userIn(file, local, remote string) string {
	f, err := os.Open(file)
	if err != nil {
		return ""
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		// sl local rem_address st tx:rx tr:when retrnsmt uid timeout inode
		field := strings.Fields(lines.Text())
		if len(field) > 9 && field[1] == local && field[2] == remote && field[9] != "0" {
			return field[7]
		}
	}
	return ""
}

// inTable is an address as it stands there: words of four bytes, each as the
// machine has it in memory.
func inTable(at netip.AddrPort, wide bool) string {
	bytes := at.Addr().AsSlice()
	if wide {
		all := at.Addr().As16()
		bytes = all[:]
	}
	var text strings.Builder
	for word := range len(bytes) / 4 {
		fmt.Fprintf(&text, "%08X", binary.NativeEndian.Uint32(bytes[4*word:]))
	}
	return fmt.Sprintf("%s:%04X", text.String(), at.Port())
}
