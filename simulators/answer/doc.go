// Package answer is a simulated device that is known by its description only:
// it reads the messages that the description says can be sent to it, changes
// its matrix, and writes the answers that the description says it gives.
//
// It stands at the device's end of the line. What the description calls send
// arrives here; what it calls answer, refusal or report leaves. It is written
// apart from the drivers, which stand at the other end, so that one misreading
// of a description cannot cancel itself out.
//
// A stream of bytes falls into messages by lines or by the status bytes of
// MIDI 1.0. A message that fits none of the description's is ignored, as most
// devices do. The package does no I/O: bytes come in by Receive, and answers go
// out as its result.
package answer
