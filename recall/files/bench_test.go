package files

import (
	"context"
	"fmt"
	"testing"
)

// A look through sessions of which none changed, for the page.
func BenchmarkLookAgain(b *testing.B) {
	for _, sessions := range []int{100, 10_000} {
		b.Run(fmt.Sprint(sessions), func(b *testing.B) {
			l := manySessions(b, sessions)
			if _, err := l.Check(context.Background(), nil, Shallow); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := l.Check(context.Background(), nil, Shallow); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The first look, which reads them.
func BenchmarkLookFirst(b *testing.B) {
	l := manySessions(b, 1000)
	for b.Loop() {
		if _, err := NewLibrary(l.place).Check(context.Background(), nil, Shallow); err != nil {
			b.Fatal(err)
		}
	}
}

func manySessions(b *testing.B, sessions int) *Library {
	all := map[string]string{"studio.yaml": smallStudio}
	for n := range sessions {
		all[fmt.Sprintf("sessions/more-%d.yaml", n)] = "session: More\nconnect:\n  - interface/out1-4 -> interface/in1-4\n"
	}
	return libraryOf(b, all)
}
