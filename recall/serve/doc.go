// Package serve lets commands and pages speak to the keeper of a room over
// HTTP, and finds the keeper that runs.
//
// A server puts a keep.Room behind /api; a Client is a keep.Room in front of it.
// An entry is the file daemon.json in the state folder: where the server
// listens, its token, its process. It is written when the server is ready and
// taken away when it ends; one that was left behind is ignored, since what
// listens there, if anything does, cannot show that it knows the token.
//
//	GET  /health         who serves: {"studio", "pid", "proof"}
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
//	POST /api/invite     {"role"}; a code by which one screen is let in, once
//	POST /api/act        a keep.Act as JSON: {"do": "recall", "session": "tern"};
//	                     keep.ActKinds has what there is, and what each needs
//	GET  /invite         where a code is typed; POST lets the screen in
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
// Every request that changes something carries the token, which is made anew at
// each start: as Authorization: Bearer, or in the header X-Bayhand-Token.
// Commands read it from the entry, which only its owner can read (mode 0600).
// The page is given it: the server sets X-Bayhand-Token on each request that it
// hands to the page's handler, the handler writes it into
// <meta name="bayhand-token" content="...">, and the page's script sends it back
// in the same header. Nothing that a browser sends by
// itself changes anything: another site can neither read the page nor set the
// header. On the loopback whoever can open the page may work the room.
//
// A server that listens elsewhere lets nobody look without a token either. Three
// tokens in access.json stand for three roles: look; tick, which also tells what
// was plugged; recall, which also asks for sessions, undoes them and prunes the
// history. A browser is let in once by an address with ?token=, and is then known
// by a cookie. The cookie opens looking and nothing else: changes need the token
// of the same role in a header or in the page's form.
//
// A screen elsewhere is let in by a code that is shown on the daemon's machine: a
// code lasts five minutes, lets one screen in, and may be tried six times and then
// once in ten seconds. With a certificate of one's own all of it goes by TLS; the
// entry has the certificate's sum, and commands trust that one and no other.
//
// One machine may ask 50 times a second (200 at once) and have 30 streams open;
// there are 100 in all. A request has at most 64 KiB. The log has who asked for
// what, and never a token or a code.
//
// Requests whose Host is a foreign name are refused, which is how a site that
// points its own name at this machine is kept out, and so are those whose Origin
// or Sec-Fetch-Site is another site's.
package serve
