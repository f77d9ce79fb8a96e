package conformance_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

func wrapped(s *stranger, b byte) string {
	line, ended := s.ended(b, '\r')
	if !ended {
		return ""
	}
	return "\r\n" + s.wrappedLine(line) + "\r\n\r\n"
}

func (s *stranger) wrappedLine(line string) string {
	var o, i int
	var verb string
	if line == "LIST" {
		s.count++
		var pairs []string
		for o := 1; o < 5; o++ {
			for i := 1; i < 5; i++ {
				if s.inputs[o]>>(i-1)&1 == 1 {
					pairs = append(pairs, fmt.Sprintf("%d,%d", o, i))
				}
			}
		}
		if len(pairs) == 0 {
			return "CLOSED NONE"
		}
		return "CLOSED " + strings.Join(pairs, " ")
	}
	switch s.trouble() {
	case "busy":
		return "ERR BUSY"
	case "no":
		return "ERR 5"
	}
	if n, _ := fmt.Sscanf(line, "%s %d,%d", &verb, &o, &i); n == 3 && (verb == "C" || verb == "O") && s.relay(o, i, verb == "C") {
		return "OK"
	}
	return "ERR 1"
}

func prompting(s *stranger, b byte) string {
	line, ended := s.ended(b, '\r')
	switch {
	case !ended:
		return ""
	case s.logged:
		return s.shell(line) + "> "
	case line == "heron":
		s.logged = true
		return "\r\nWelcome\r\n> "
	}
	return "\r\nword: "
}

func (s *stranger) shell(line string) string {
	if line == "SHOW" {
		s.count++
		var b strings.Builder
		for o := 1; o < 5; o++ {
			in := "---"
			if s.in(o) > 0 {
				in = fmt.Sprintf("%3d", s.in(o))
			}
			fmt.Fprintf(&b, "OUT%3d:%s\r\n", o, in)
		}
		return b.String() + "DONE\r\n"
	}
	var o, i int
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return "NOT NOW\r\n"
	case trouble == "no", !strings.HasPrefix(line, "PUT"), len(line) != 9:
		return "NO: x\r\n"
	}
	if _, err := fmt.Sscanf(line[3:6], "%d", &o); err != nil {
		return "NO: output\r\n"
	}
	if line[6:] != "---" {
		if _, err := fmt.Sscanf(line[6:], "%d", &i); err != nil {
			return "NO: input\r\n"
		}
	}
	if !s.put(o, i) {
		return "NO: output\r\n"
	}
	return "YES\r\n"
}

func bits(s *stranger, b byte) string {
	line, ended := s.ended(b, '\n')
	switch {
	case !ended:
		return ""
	case line == "?":
		s.count++
		text := "="
		for _, mask := range s.inputs[1:] {
			text += fmt.Sprintf("%X", mask&1<<3|mask&2<<1|mask&4>>1|mask&8>>3)
		}
		return text + "\n"
	}
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return "later\n"
	case trouble == "no", len(line) != 3, line[0] != 'K' && line[0] != 'B', !s.relay(int(line[1]-'0'), int(line[2]-'0'), line[0] == 'K'):
		return "bad\n"
	}
	return []string{"ok\n", "done\n"}[s.count%2]
}

func jsonDevice(s *stranger, b byte) string {
	line, ended := s.ended(b, '\n')
	if !ended {
		return ""
	}
	var ask struct {
		Do  string
		Out int
		In  *int
		ID  int
	}
	if json.Unmarshal([]byte(line), &ask) != nil {
		return ""
	}
	if ask.Do == "get" {
		s.count++
		list := make([]string, 4)
		for o := range list {
			if list[o] = "null"; s.in(o+1) > 0 {
				list[o] = fmt.Sprint(s.in(o + 1))
			}
		}
		return fmt.Sprintf("{\"map\": [%s], \"id\": %d}\n{\"event\":\"clock\"}\n", strings.Join(list, " ,"), ask.ID)
	}
	in := 0
	if ask.In != nil {
		in = *ask.In
	}
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return fmt.Sprintf("{\"why\":\"busy\",\"ok\":false,\"id\":%d}\n", ask.ID)
	case trouble == "no", ask.Do != "set", !s.put(ask.Out, in):
		return fmt.Sprintf("{\"id\":%d,\"ok\":false,\"why\":\"no such thing\"}\n", ask.ID)
	}
	return fmt.Sprintf("{\"id\":%d,\"ok\":true}\n", ask.ID)
}

func jsonTurned(s *stranger, output int) string {
	in := "null"
	if s.in(output) > 0 {
		in = fmt.Sprint(s.in(output))
	}
	return fmt.Sprintf("{\"event\":\"turned\",\"out\":%d,\"in\":%s}\n", output, in)
}

func drowsy(s *stranger, b byte) string {
	const sleeps, wakes = time.Second, 20 * time.Millisecond
	now := time.Now()
	if awake := !s.woken.IsZero() && now.Sub(s.heard) < sleeps; !awake {
		if s.woken, s.line = (time.Time{}), nil; b == 0 {
			s.woken = now
		}
		return ""
	}
	line, ended := s.ended(b, '\r')
	if line = strings.TrimLeft(line, "\x00"); !ended || now.Sub(s.woken) < wakes {
		return ""
	}
	var o, i int
	if n, _ := fmt.Sscanf(line, "?%d", &o); n == 1 && o > 0 && o < 5 {
		s.count++
		if s.in(o) == 0 {
			return fmt.Sprintf("%d=-\r", o)
		}
		return fmt.Sprintf("%d=%d\r", o, s.in(o))
	}
	switch s.trouble() {
	case "busy":
		return "N BUSY\r"
	case "no":
		return "N\r"
	}
	if n, _ := fmt.Sscanf(line, "O%dI%d", &o, &i); n == 2 && s.put(o, i) {
		return "Y\r"
	}
	return "N\r"
}

func twos(s *stranger, b byte) string {
	line, ended := s.ended(b, '\n')
	if line = strings.TrimSuffix(line, "\r"); !ended {
		return ""
	}
	if line == "ALL" {
		s.count++
		text := "ALL"
		for o := 1; o < 5; o += 2 {
			switch l, r := s.in(o), s.in(o+1); {
			case l == 0 && r == 0:
				text += " -"
			case l%2 == 1 && r == l+1:
				text += fmt.Sprintf(" %d", (l+1)/2)
			default:
				text += " *"
			}
		}
		return text + "\r\n"
	}
	switch s.trouble() {
	case "busy":
		return "BUSY\r\n"
	case "no":
		return "NO\r\n"
	}
	var pair, from int
	if n, _ := fmt.Sscanf(line, "P%d<%d", &pair, &from); n == 1 && line != fmt.Sprintf("P%d<-", pair) || n == 2 && (from < 1 || from > 2) || n == 0 || pair < 1 || pair > 2 {
		return "NO\r\n"
	}
	s.put(2*pair-1, max(0, 2*from-1))
	s.put(2*pair, 2*from)
	return "OK\r\n"
}

var (
	wordyOutputs = []string{"", "MAIN", "CUE", "REC", "LIVE"}
	wordyInputs  = []string{"NONE", "MIC", "TAPE", "DISC", "KEYS"}
)

func wordy(s *stranger, b byte) string {
	line, ended := s.ended(b, '\r')
	if !ended {
		return string([]byte{b})
	}
	return "\r\n" + s.wordyLine(line)
}

func (s *stranger) wordyLine(line string) string {
	if line == "STATE" {
		s.count++
		var all []string
		for o := 1; o < 5; o++ {
			all = append(all, wordyOutputs[o]+"="+wordyInputs[s.in(o)])
		}
		return strings.Join(all, " ") + "\r\n"
	}
	out, in, _ := strings.Cut(line, "=")
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return "HOLD ON\r\n"
	case trouble == "no", !slices.Contains(wordyInputs, in), !s.put(slices.Index(wordyOutputs, out), slices.Index(wordyInputs, in)):
		return "?\r\n"
	}
	return []string{"ACK\r\n", "OK\r\n"}[s.count%2]
}

func storedDevice(s *stranger, b byte) string {
	line, ended := s.ended(b, '\n')
	if !ended {
		return ""
	}
	if line == "X?" {
		s.count++
		return fmt.Sprintf("X=%d,%d,%d,%d\n", s.in(1), s.in(2), s.in(3), s.in(4))
	}
	switch s.trouble() {
	case "busy":
		return "HOLD\n"
	case "no":
		return "NO\n"
	}
	var o, i int
	n, _ := fmt.Sscanf(line, "X%d,%d", &o, &i)
	switch {
	case n == 2 && s.put(o, i), len(line) == 12 && (line[:2] == "NO" || line[:2] == "NI") && line[3] == ':':
		return "OK\n"
	case line == "P1", line == "P2":
		for o := range s.inputs {
			s.put(o, map[bool]int{true: o}[line == "P1"])
		}
		return "OK\n"
	}
	return "NO\n"
}
