package files

import (
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// Toward is a request for the way to one patch and to no other: in the room that a
// session makes of the studio, with the jacks that the request's own studio has as
// faulty, that patch is what the room goes back to.
func (s *Studio) Toward(of *Session, request plan.Request, target patch.Patch) plan.Request {
	room := *s.Room.For(of.Session, request.From).Studio()
	room.Faulty, room.Rest = request.Studio.Faulty, target
	request.Studio, request.Session = &room, nil
	return request
}
