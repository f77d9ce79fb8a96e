// Package listen listens to a room with test sound: it plays through a sound
// device, reads what comes back, and says what is plugged otherwise than it was
// told.
//
// A Plan says which outputs play and which are left out, before anything is
// heard. A Device plays and records: of the kernel, of a sound server, or a
// simulated one. Measure plays a plan's test sound by a device, stops where it
// must, and gives an Answer: paths, inputs, findings, and the cords that were seen.
//
// To listen to a room:
//
//	plan, err := listen.Prepare(listen.Request{Room: room, Session: s, Patch: p})
//	// show plan.Guarded, plan.LeftOut and the cautions, and ask
//	hold, err := listen.Take(ctx, keeper, plan.Needs()) // where it needs any
//	defer hold.Release(ctx)
//	answer, err := plan.Measure(ctx, open, listen.Way{Progress: show, MutesHold: ...})
//	// show answer.JSON(), or answer.Found with the sentences of listen.In(studio)
//
// Whoever ends the context stops the sound at once. The same Answer comes from
// recordings of another program, by Plan.Judge.
//
// A Hold has the keeper of the room switch what is muted, or probed, meanwhile: it is
// read back before anything plays, and put back at the end, also of a process that was
// killed.
package listen
