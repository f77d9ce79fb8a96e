package demo

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"bayhand/recall/serve"
)

// machineRoom is the folder of a second room, whose sound device is made up: test sound
// goes through the patch of a file, and nothing is heard of it.
const machineRoom = "listening"

// listenIn are the flags by which commands find the machine room.
func (s *stage) listenIn() []string {
	return []string{"--studio", s.path(machineRoom + "/studio.yaml"), "--state", s.path(machineRoom + "/state")}
}

// listenToRoom listens to the machine room, in which two cords are swapped, mends what was
// found, and listens again.
func (s *stage) listenToRoom(ctx context.Context) error {
	s.say("\n6. You listen to the machine room by its made-up sound device; nothing is heard of it\n\n")
	found, err := s.verify(ctx)
	if err != nil {
		return err
	}
	s.expect(strings.Contains(found, "main 2 top - main 3 bottom") && strings.Contains(found, "swapped"), "the two cords that are swapped are named")
	if err := s.mend(); err != nil {
		return err
	}
	s.say("   You swap them, and listen again.\n\n")
	if found, err = s.verify(ctx); err != nil {
		return err
	}
	s.expect(strings.Contains(found, "the room is as reported"), "the room is as reported")
	return nil
}

// stayListening keeps the machine room up as well, and tells how to listen to it.
func (s *stage) stayListening(ctx context.Context, private bool) error {
	c, err := s.nursery.spawn("the daemon of the machine room", s.program, append([]string{"daemon", "--http", "127.0.0.1:0"}, s.listenIn()...)...)
	if err != nil {
		return err
	}
	s.children[machineRoom] = c
	page, err := c.line(ctx, "the page at the bay: ")
	if err != nil {
		return err
	}
	room, err := serve.Find(ctx, s.path(machineRoom+"/state"))
	if err != nil {
		return err
	}
	if page, err = invited(ctx, room, page, "machine", private); err != nil {
		return err
	}
	s.say("\nA second room has a made-up sound device, of which nothing is heard, and two cords\nthat are swapped. Listen to it in its page, or in a terminal:\n\n")
	s.say("   alias machine='%s %s'\n   machine verify --watch\n", s.program[0], strings.Join(s.listenIn(), " "))
	s.say("\nThe page of the machine room: %s\nTo mend its cords, change: %s\n", page, s.path(machineRoom+"/plugged.yaml"))
	return nil
}

// mend lets the two cords change places in the file of what is plugged.
func (s *stage) mend() error {
	file := s.path(machineRoom + "/plugged.yaml")
	src, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	const wrong, right = "main/t2 - main/b2, main/t3 - main/b3]", "main/t2 - main/b3, main/t3 - main/b2]"
	if !strings.Contains(string(src), wrong) {
		return errors.New("the cords to mend are not in the file of the machine room")
	}
	return os.WriteFile(file, []byte(strings.Replace(string(src), wrong, right, 1)), 0o644)
}

// verify listens once, shows what bayhand says of it, and gives that in one line.
func (s *stage) verify(ctx context.Context) (string, error) {
	ctx, cancel := context.WithTimeout(ctx, 9*patience)
	defer cancel()
	c, err := s.nursery.spawn("listening", s.program, append([]string{"verify", "--yes", "--quiet"}, s.listenIn()...)...)
	if err != nil {
		return "", err
	}
	defer c.end()
	select {
	case <-c.ended: // what it said waits in its lines
	case <-ctx.Done():
		return "", ctx.Err()
	}
	if len(c.lines) == 0 {
		return "", fmt.Errorf("nothing was listened to: %s", c.complaints.String())
	}
	var said []string
	for len(c.lines) > 0 {
		line := <-c.lines
		said = append(said, strings.TrimSpace(line))
		s.say("   %s\n", line)
	}
	return strings.Join(said, " "), nil
}
