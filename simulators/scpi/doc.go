// Package scpi is a simulated signal switcher that speaks SCPI-1999 over IEEE
// 488.2: a matrix of contacts with the required common commands, the SYSTem and
// STATus subsystems and the ROUTe commands that close, open and ask.
//
// A program message is what arrives up to a line feed. It is one or more units
// joined by semicolons; a unit is a header (mnemonics joined by colons, or a
// common command such as *IDN?) and its data. A response message is the
// answers to the queries of one program message, joined by semicolons.
//
// It is written from the standards' own rules and not from the description
// that the drivers read, so that one misreading cannot cancel itself out. It
// reads no YAML and does no I/O: bytes come in by Receive, and answers go out
// as its result.
package scpi
