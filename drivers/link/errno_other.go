//go:build !unix

package link

import "errors"

// notATerminal is never answered on this platform.
var notATerminal = errors.New("no such line")
