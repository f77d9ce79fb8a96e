// Package serve lets commands and pages speak to the keeper of a room over
// HTTP, and finds the keeper that runs.
//
// A server puts a keep.Room behind /api; a Client is a keep.Room in front of it.
// An entry is the file daemon.json in the state folder: where the server
// listens, its token, its process. It is written when the server is ready and
// taken away when it ends; one that was left behind is ignored, since what
// listens there, if anything does, cannot show that it knows the token.
//
//	GET  /health?nonce=N  a proof that the server knows the entry's token; without
//	                     a nonce nothing
//	GET  /metrics        figures in the text format of Prometheus
//	GET  /api/openapi.json  all of this for programs (OpenAPI 3.1)
//	GET  /api/status     the status
//	GET  /api/health     what is wrong in a person's words: only what has been so
//	                     for long enough, and follows from nothing else that is
//	GET  /api/events     a stream of server-sent events, each a status; a slow
//	                     reader gets the newest
//	GET  /api/history    the events after ?since=N, one JSON value a line; also
//	                     from, until, session, point, kind, last
//	POST /api/prune      {"before"}; forgets the events before a time
//	POST /api/invite     {"role", "who", "here"}; a code by which one screen is let
//	                     in, once; here: an address for a browser on this machine
//	GET  /api/screens    the screens that are let in
//	POST /api/revoke     {"id"} or {"all"}; lets screens out, at once
//	POST /api/act        a keep.Act as JSON: {"do": "recall", "session": "tern"};
//	                     keep.ActKinds has what there is, and what each needs
//	GET  /invite         where a code is typed; POST lets the screen in
//	GET  /enter?code=N   lets a browser on this machine in
//	GET  /               the page, and whatever is below it
//
// An act that was taken is answered with a keep.Answer: the status, and what
// devices have not carried out. One that was not, and any other request that is
// refused, is answered with {"code", "message", "also", "missing", "status"}: code
// is that of the first keep error, also those of the others, missing what a session
// that cannot be given lacks, and status the room as it is.
//
// # Who may do what
//
// Nobody is let in without showing something, on the loopback no more than
// elsewhere: other users of the machine reach that as well. A guest is who a request
// is from, as far as it shows that.
//
// Commands read a token from the entry, which only its owner can read (mode 0600),
// and which is made anew at each start. They send it once the server has shown, with
// a nonce of theirs, that it knows it too. It opens everything, and it alone may
// call a session by a path.
//
// A browser is let in once by a code, which lasts five minutes, and has then a
// session of its own: a cookie that opens looking, and a token made of it that the
// page's forms carry for what its role allows. Three roles there are: look; tick,
// which also tells what was plugged; recall, which also asks for sessions, undoes
// them and prunes the history. The screens that are let in stand in screens.json by
// the sums of their cookies, and are let out one by one. On this machine the code
// stands in an address that bayhand page opens; elsewhere it is typed, or read by a
// camera, and may be tried six times and then once in ten seconds. A browser that
// may send its cookie to other ports of this machine gives it away to nobody: on
// Linux it is of use to the user alone whose browser has it.
//
// Programs have the tokens of access.json, one a role, in the headers
// Authorization: Bearer or X-Bayhand-Token. The file is read for each request, so
// that a token that is taken out opens nothing from then on; streams that are open
// tell nothing more. An address with ?token= lets a browser in as long as the token
// stands there.
//
// Nothing that a browser sends by itself changes anything: another site can neither
// read the page nor set the header. Who did what is who was let in; the owner's
// commands alone may say a name. The page is told in headers that the server sets
// whatever came in them: the token of its forms, the role and the name.
//
// With a certificate of one's own all of it goes by TLS; the entry has the
// certificate's sum, and commands trust that one and no other. One that is renewed
// in its place is taken without a new start.
//
// One machine, and each user of this one, may ask 50 times a second (200 at once)
// and have 60 streams open; there are 200 in all. A request has at most 64 KiB. The
// log has who asked for what, and never a token or a code.
//
// Requests whose Host is a foreign name are refused, which is how a site that
// points its own name at this machine is kept out, and so are those whose Origin
// or Sec-Fetch-Site is another site's.
package serve
