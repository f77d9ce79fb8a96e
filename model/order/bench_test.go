package order_test

import (
	"path/filepath"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/order"
	"bayhand/model/plan"
	"bayhand/model/text"
)

// BenchmarkBoathouse plans the invented boathouse's sessions from the room at
// rest and puts their steps in order. It reports the plugs handled and the floor
// that is proved.
func BenchmarkBoathouse(b *testing.B) {
	s, _, problems := text.ReadStudio("studio.yaml", file(b, filepath.Join(heron, "studio.yaml")))
	if problems.Errors() {
		b.Fatal(problems)
	}
	room := heard.NewRoom(s)
	for _, name := range []string{"evening-listening", "tern-mix-1", "tern-mix-2", "curlew-overdubs"} {
		session := read(b, s, filepath.Join(heron, "sessions", name+".yaml"))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				p, err := plan.Make(b.Context(), room, s.Rest, session, plan.Options{})
				if err != nil || !p.Given {
					b.Fatalf("%+v, %v", p, err)
				}
				if err := order.Arrange(room, s.Rest, p, session, nil); err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(p.Plugs), "plugs")
				b.ReportMetric(float64(p.Least), "least")
			}
		})
	}
}
