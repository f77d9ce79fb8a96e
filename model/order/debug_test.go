package order_test

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"bayhand/model/order"
)

func TestDebug(t *testing.T) {
	seed, _ := strconv.ParseUint(os.Getenv("SEED"), 10, 64)
	w := back(t, seed)
	s := w.room.Studio()
	for _, b := range s.Bays {
		fmt.Println(b.Name, b.Modes)
	}
	for _, x := range s.Wires {
		fmt.Println("wire", x.From, x.To)
	}
	for _, m := range s.Matrices {
		fmt.Println(m.Name, m.Kind, m.LetsGo)
	}
	fmt.Println(s.Ties, s.Mults, s.Normals, s.FaultyNormals)
	fmt.Printf("from %+v\nto %+v\n", w.from, w.plan.Target)
	order.Arrange(w.room, w.from, w.plan, nil, w.previous)
	for _, s := range w.plan.Steps {
		fmt.Println(s.ID, show(s), s.After, s.Because)
	}
}
