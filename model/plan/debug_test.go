package plan

import (
	"context"
	"fmt"
	"os"
	"testing"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/text"
	"bayhand/model/plan/clause"
)

func TestDebug(t *testing.T) {
	dir := os.Getenv("DIR")
	if dir == "" { t.Skip() }
	read := func(n string) (string, []byte) { b, err := os.ReadFile(dir + "/" + n); if err != nil { panic(err) }; return n, b }
	f, b := read("studio.yaml")
	st, _, _ := text.ReadStudio(f, b)
	f, b = read("session.yaml")
	se, _, _ := text.ReadSession(f, b, st, nil)
	f, b = read("present.yaml")
	pa, _, _ := text.ReadPatch(f, b, st)
	tk, err := newTask(newBoard(heard.NewRoom(st)), pa, se, Options{Prefer: PreferFewest})
	if err != nil { t.Fatal(err) }
	e := newEncoding(tk, false)
	names := map[clause.Lit]string{}
	jn := func(j int) string { return tk.points[tk.jacks[j].point].String() }
	debugName = func(l clause.Lit, s string) { names[l] = s }
	costs := e.plugCosts()
	fmt.Println("vars", e.Vars(), "cords", len(e.cords), "costs", len(costs))
	_ = jn
	debugCore = func(least int, lits []clause.Lit) {
		var ss []string
		for _, l := range lits { s := names[l]; if s == "" { s = fmt.Sprint(l) }; ss = append(ss, s) }
		slices.Sort(ss)
		fmt.Println(least, len(lits), e.Work/1e6, ss)
	}
	o := newOptimum(e.Solver, 400e6)
	for _, c := range costs { o.add(c.lit, c.weight) }
	e.remember(tk.present)
	for {
		r := o.solve()
		fmt.Println(r, o.least, e.Work/1e6)
		if r == clause.Yes { d := e.decode(); if e.refine(d) { fmt.Println("refined"); continue }; fmt.Println(e.gives(d)) }
		break
	}
	_ = context.Background()
}

func TestImprove(t *testing.T) {
	dir := os.Getenv("DIR")
	if dir == "" { t.Skip() }
	read := func(n string) (string, []byte) { b, err := os.ReadFile(dir + "/" + n); if err != nil { panic(err) }; return n, b }
	f, b := read("studio.yaml")
	st, _, _ := text.ReadStudio(f, b)
	f, b = read("session.yaml")
	se, _, _ := text.ReadSession(f, b, st, nil)
	f, b = read("present.yaml")
	pa, _, _ := text.ReadPatch(f, b, st)
	tk, err := newTask(newBoard(heard.NewRoom(st)), pa, se, Options{Prefer: PreferFewest})
	if err != nil { t.Fatal(err) }
	e := newEncoding(tk, false)
	costs := e.plugCosts()
	fmt.Println("vars", e.Vars(), "cords", len(e.cords), "costs", len(costs))
	e.remember(tk.present)
	solve := func(as []clause.Lit, w int64) clause.Result {
		for {
			r := e.Solve(as, w)
			if r == clause.Yes { if e.refine(e.decode()) { continue } }
			return r
		}
	}
	fmt.Println(solve(nil, -1), e.paid(costs), e.Work/1e6)
	for pass := 0; pass < 5; pass++ {
		model := map[clause.Lit]bool{}
		for _, c := range costs { model[c.lit] = e.Value(c.lit) }
		for _, c := range costs {
			if !model[c.lit] { continue }
			as := []clause.Lit{c.lit.Not()}
			for _, k := range costs { if !model[k.lit] { as = append(as, k.lit.Not()) } }
			if solve(as, 3e6) == clause.Yes {
				for _, c := range costs { model[c.lit] = e.Value(c.lit) }
			}
		}
		tot := 0
		for _, c := range costs { if model[c.lit] { tot += c.weight } }
		fmt.Println(tot, e.Work/1e6)
	}
}

func TestRefines(t *testing.T) {
	dir := os.Getenv("DIR")
	if dir == "" { t.Skip() }
	read := func(n string) (string, []byte) { b, err := os.ReadFile(dir + "/" + n); if err != nil { panic(err) }; return n, b }
	f, b := read("studio.yaml")
	st, _, _ := text.ReadStudio(f, b)
	f, b = read("session.yaml")
	se, _, _ := text.ReadSession(f, b, st, nil)
	f, b = read("present.yaml")
	pa, _, _ := text.ReadPatch(f, b, st)
	tk, _ := newTask(newBoard(heard.NewRoom(st)), pa, se, Options{Prefer: PreferFewest})
	e := newEncoding(tk, false)
	e.remember(tk.present)
	for i := 0; i < 40; i++ {
		r := e.Solve(nil, 100e6)
		fmt.Println(r, e.Work/1e6)
		if r != clause.Yes { return }
		d := e.decode()
		n := e.nets(d)
		switch {
		case e.refineRings(n): fmt.Println("rings")
		case e.refineAmplifierRings(): fmt.Println("amprings")
		case e.refineLoops(d): fmt.Println("loops", e.room.Hear(e.patch(d)).Loops(e.session.Inside, nil))
		case e.refineHanging(n): fmt.Println("hang")
		case e.refineWays(n): fmt.Println("ways")
		case e.refineStock(d): fmt.Println("stock")
		default: fmt.Println("fine", e.gives(d)); return
		}
	}
}
