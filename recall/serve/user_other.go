//go:build !linux

package serve

import "net/netip"

// systemUser is not told here.
func systemUser(_, _ netip.AddrPort) string { return "" }
