// Package panel is the front panel of a simulated matrix, in the terminal. It
// shows the grid of crosspoints, outputs down and inputs across, and what came
// and went on the line. Its keys move a cursor and turn the crosspoint under it,
// as a hand at the front of a device would: whoever drives the matrix over the
// line is not asked.
//
// Where the input is no terminal, lines are read instead, such as out3 in5;
// Words lists them.
//
// The package opens no link and knows no message: Heard is told of bytes and
// shows them as they are.
package panel
