package conformance_test

import (
	"bytes"
	"fmt"
	"strconv"
)

func stuffed(s *stranger, b byte) string {
	s.line = append(s.line, b)
	at := bytes.IndexByte(s.line, 0xBB)
	switch {
	case s.line[0] != 0xAA || len(s.line) > 40:
		s.line = nil
		return ""
	case at < 0 || len(s.line) < at+2:
		return ""
	}
	raw := unescaped(s.line[1:at])
	sum := byte((0xAA + 0xBB) & 0xFF)
	for _, c := range raw {
		sum += c
	}
	given := s.line[at+1]
	s.line = nil
	if sum == given && string(raw) == "R" {
		s.count++
		return s.table()
	}
	switch trouble := s.trouble(); {
	case sum != given, len(raw) != 3, raw[0] != 'S', trouble == "no":
		return "\x15"
	case trouble == "busy":
		return "\x07"
	}
	in := int(raw[2])
	if in == 0xFF {
		in = 0
	}
	if !s.put(int(raw[1]), in) {
		return "\x15"
	}
	return "\x06"
}

func unescaped(p []byte) []byte {
	var raw []byte
	for i := 0; i < len(p); i++ {
		if p[i] == 0xAC && i+1 < len(p) {
			i++
			raw = append(raw, map[byte]byte{0x0A: 0xAA, 0x0B: 0xBB, 0x0C: 0xAC}[p[i]])
			continue
		}
		raw = append(raw, p[i])
	}
	return raw
}

func (s *stranger) table() string {
	out, sum := "\xAAT", byte((0xAA+'T'+0xBB)&0xFF)
	for o := 1; o < 5; o++ {
		b := byte(s.in(o))
		if b == 0 {
			b = 0xFF
		}
		out, sum = out+string([]byte{b}), sum+b
	}
	return out + "\xBB" + string([]byte{sum})
}

// sevens hears a system exclusive message: status bytes end what came before.
func sevens(s *stranger, b byte) string {
	switch {
	case b == 0xF0:
		s.line = []byte{}
		return ""
	case b >= 0x80 && b != 0xF7, s.line == nil:
		s.line = nil
		return ""
	case b != 0xF7:
		s.line = append(s.line, b)
		return ""
	}
	message := s.line
	s.line = nil
	switch {
	case len(message) < 2 || message[0] != 0x7D:
		return ""
	case message[1] == 0x32 && len(message) == 2:
		s.count++
		data := make([]byte, 4)
		for i := range data {
			if data[i] = byte(s.in(i + 1)); data[i] == 0 {
				data[i] = 0xFF
			}
		}
		high := data[0]>>7<<6 | data[1]>>7<<5 | data[2]>>7<<4 | data[3]>>7<<3
		return string([]byte{0xF0, 0x7D, 0x33, high, data[0] & 0x7F, data[1] & 0x7F, data[2] & 0x7F, data[3] & 0x7F, 0xF7})
	case message[1] != 0x30:
		return ""
	}
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return "\xF0\x7D\x3C\xF7"
	case trouble == "no" || len(message) != 5:
		return "\xF0\x7D\x3E\xF7"
	}
	out, in := int(message[2]>>6&1)<<7|int(message[3]), int(message[2]>>5&1)<<7|int(message[4])
	if in == 0xFF {
		in = 0
	}
	if !s.put(out, in) {
		return "\xF0\x7D\x3E\xF7"
	}
	return "\xF0\x7D\x31\xF7"
}

// counted throws away what begins with no 02 or is longer than any message of it.
func counted(s *stranger, b byte) string {
	s.line = append(s.line, b)
	for len(s.line) > 0 && (s.line[0] != 2 || len(s.line) >= 3 && (s.line[2] != 0 || s.line[1] > 8)) {
		s.line = s.line[1:]
	}
	if len(s.line) < 3 || len(s.line) < int(s.line[1])+5 {
		return ""
	}
	message := s.line
	s.line = nil
	body, crc := message[:len(message)-2], message[len(message)-2:]
	if want := xmodem(body); crc[0] != byte(want>>8) || crc[1] != byte(want) {
		return ""
	}
	return framedCount(s.countedBody(body[3:]))
}

func (s *stranger) countedBody(body []byte) string {
	if string(body) == "R" {
		s.count++
		return "M" + string([]byte{byte(s.in(1)), byte(s.in(2)), byte(s.in(3)), byte(s.in(4))})
	}
	switch trouble := s.trouble(); {
	case trouble == "busy":
		return "B"
	case trouble == "no", len(body) != 3, body[0] != 'S', !s.put(int(body[1]), int(body[2])):
		return "N"
	}
	return "A"
}

func framedCount(body string) string {
	message := append([]byte{2, byte(len(body)), 0}, body...)
	crc := xmodem(message)
	return string(append(message, byte(crc>>8), byte(crc)))
}

// xmodem is the CRC of 16 bits with the polynomial 1021, from 0, the high bit first.
func xmodem(p []byte) uint16 {
	crc := uint16(0)
	for _, b := range p {
		for bit := 7; bit >= 0; bit-- {
			top := crc>>15 ^ uint16(b>>bit&1)
			crc <<= 1
			if top == 1 {
				crc ^= 0x1021
			}
		}
	}
	return crc
}

// digits throws away what is no beginning of a message.
func digits(s *stranger, b byte) string {
	s.line = append(s.line, b)
	for len(s.line) > 0 && s.line[0] != '$' {
		s.line = s.line[1:]
	}
	if len(s.line) < 4 {
		return ""
	}
	n, err := strconv.Atoi(string(s.line[1:4]))
	if err != nil || n < 1 || n > 20 {
		s.line = nil
		return ""
	}
	if len(s.line) < 4+n {
		return ""
	}
	said := s.digitsBody(string(s.line[4:]))
	s.line = nil
	return fmt.Sprintf("$%03d%s", len(said), said)
}

func (s *stranger) digitsBody(body string) string {
	if body == "R" {
		s.count++
		text := "R"
		for o := 1; o < 5; o++ {
			in := "-"
			if s.in(o) > 0 {
				in = fmt.Sprint(s.in(o))
			}
			text += map[bool]string{true: ","}[o > 1] + in
		}
		return text
	}
	switch s.trouble() {
	case "busy":
		return "-BUSY"
	case "no":
		return "-"
	}
	var o, i int
	if n, _ := fmt.Sscanf(body, "S%d,%d", &o, &i); n == 2 && i > 0 && s.put(o, i) || n == 1 && body == fmt.Sprintf("S%d,-", o) && s.put(o, 0) {
		return "+"
	}
	return "-"
}

// deaf hears control changes, with and without running status.
func deaf(s *stranger, b byte) string {
	if b >= 0x80 {
		s.line = nil
		if b == 0xB0 {
			s.line = []byte{b}
		}
		return ""
	}
	if len(s.line) == 0 {
		return ""
	}
	if s.line = append(s.line, b); len(s.line) == 3 {
		s.put(int(s.line[1])-20, int(s.line[2]))
		s.line = s.line[:1]
	}
	return ""
}
