package page

import (
	"bytes"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// studioDraft is a studio's file as it stands in the page, before it is written: its text,
// and what the text says.
type studioDraft struct {
	src    []byte
	studio *studio.Studio
	places text.Places
	wrong  text.Problems
}

func readDraft(src []byte) studioDraft {
	d := studioDraft{src: bytes.ReplaceAll(src, []byte("\r\n"), []byte("\n"))} // as forms send them
	d.studio, d.places, d.wrong = text.ReadStudio("studio.yaml", d.src)
	return d
}

// findings are the mistakes of the text, or what check says of the studio.
func (d studioDraft) findings() text.Problems {
	if d.wrong.Errors() {
		return d.wrong
	}
	return append(slices.Clone(d.wrong), check.Studio(heard.NewRoom(d.studio), d.places)...)
}

// unwired are the ports of gear that no line of the wiring has.
func (d studioDraft) unwired() []name.Point {
	wired := map[name.Point]bool{}
	for _, w := range d.studio.Wires {
		wired[w.From], wired[w.To] = true, true
	}
	var all []name.Point
	for _, g := range d.studio.Gear {
		for _, p := range g.Ports {
			if !wired[p.Point] {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// acts change a draft; what stands in the text otherwise stays as it was written, with
// its comments.
var acts = map[string]func(studioDraft, url.Values) ([]byte, error){
	"gear": (studioDraft).addGear, "bay": (studioDraft).addBay, "wire": (studioDraft).wire, "tie": (studioDraft).tie, "mode": (studioDraft).mode,
}

// do carries out an act, and takes it only where the text can be read afterwards.
func (d studioDraft) do(act string, form url.Values) (studioDraft, error) {
	change := acts[act]
	if change == nil {
		return d, nil
	}
	if d.wrong.Errors() {
		return d, errors.New("mend what is wrong in the text first; its findings stand beside it")
	}
	src, err := change(d, form)
	if err != nil {
		return d, err
	}
	then := readDraft(src)
	if then.wrong.Errors() {
		return d, fmt.Errorf("that would leave a file that cannot be read: %s", then.wrong[0].Message)
	}
	return then, nil
}

func counts(form url.Values, key string, most int) (int, error) {
	said := strings.TrimSpace(form.Get(key))
	if said == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(said)
	if err != nil || n < 0 || n > most {
		return 0, fmt.Errorf("%q is no number from 0 to %d", said, most)
	}
	return n, nil
}

func (d studioDraft) newName(form url.Values, key string) (string, error) {
	called := strings.TrimSpace(form.Get(key))
	if err := name.CheckOwner(called); err != nil {
		return "", err
	}
	if d.studio.GearNamed(called) != nil || d.studio.BayNamed(called) != nil {
		return "", fmt.Errorf("%s is there already", called)
	}
	return called, nil
}

// mostPorts is the most that is added at once.
const mostPorts = 512

func (d studioDraft) addGear(form url.Values) ([]byte, error) {
	called, err := d.newName(form, "gear")
	if err != nil {
		return nil, err
	}
	outs, err := counts(form, "outs", mostPorts)
	if err != nil {
		return nil, err
	}
	ins, err := counts(form, "ins", mostPorts)
	if err != nil {
		return nil, err
	}
	if outs+ins == 0 {
		return nil, errors.New("gear has an output or an input; say how many")
	}
	lines := []string{called + ":"}
	if label := strings.Join(strings.Fields(form.Get("label")), " "); label != "" {
		lines = append(lines, "  label: "+strconv.Quote(label))
	}
	for _, side := range []struct {
		key, stem string
		n         int
	}{{"outputs", "out", outs}, {"inputs", "in", ins}} {
		switch {
		case side.n == 1:
			lines = append(lines, fmt.Sprintf("  %s: {%s1: %s}", side.key, side.stem, form.Get("line")))
		case side.n > 1:
			lines = append(lines, fmt.Sprintf("  %s: {%s1-%d: %s}", side.key, side.stem, side.n, form.Get("line")))
		}
	}
	return into(d.src, "gear", lines), nil
}

func (d studioDraft) addBay(form url.Values) ([]byte, error) {
	called, err := d.newName(form, "bay")
	if err != nil {
		return nil, err
	}
	pairs, err := counts(form, "pairs", mostPorts)
	if err != nil {
		return nil, err
	}
	if pairs == 0 {
		return nil, errors.New("a bay has a pair or more; say how many")
	}
	modes := fmt.Sprintf("1-%d: %s", pairs, form.Get("modes"))
	if pairs == 1 {
		modes = "1: " + form.Get("modes")
	}
	return into(d.src, "bays", []string{called + ":", fmt.Sprintf("  pairs: %d", pairs), "  jack: " + form.Get("kind"), "  modes: {" + modes + "}"}), nil
}

// into puts lines at the end of a section of the text, which is made where there is
// none.
func into(src []byte, section string, lines []string) []byte {
	all := strings.Split(strings.TrimRight(string(src), "\n"), "\n")
	at := slices.IndexFunc(all, func(l string) bool {
		rest, is := strings.CutPrefix(l, section+":")
		return is && (strings.TrimSpace(rest) == "" || strings.HasPrefix(strings.TrimSpace(rest), "#"))
	})
	if at < 0 {
		all = append(all, "", section+":")
		at = len(all) - 1
	}
	end := at + 1
	for i := end; i < len(all) && (all[i] == "" || all[i][0] == ' ' || all[i][0] == '#'); i++ {
		if strings.HasPrefix(all[i], " ") {
			end = i + 1
		}
	}
	var added []string
	for _, l := range lines {
		added = append(added, "  "+l)
	}
	return []byte(strings.Join(slices.Insert(all, end, added...), "\n") + "\n")
}

// wire wires ports to the rears of jacks, counted on from the first of each.
func (d studioDraft) wire(form url.Values) ([]byte, error) {
	port, err := words.Find(d.studio, strings.TrimSpace(form.Get("port")))
	if err != nil {
		return nil, err
	}
	jack, err := words.Find(d.studio, strings.TrimSpace(form.Get("jack")))
	if err != nil {
		return nil, err
	}
	n, err := counts(form, "many", mostPorts)
	if err != nil {
		return nil, err
	}
	to := *d.studio
	to.Wires = slices.Clone(to.Wires)
	for range max(n, 1) {
		source, destination := ports(d.studio, port)
		switch {
		case source:
			to.Wires = append(to.Wires, studio.Wire{From: port, To: jack})
		case destination:
			to.Wires = append(to.Wires, studio.Wire{From: jack, To: port})
		default:
			return nil, fmt.Errorf("%s is no port of gear", port)
		}
		port.Number++
		jack.Number++
	}
	return text.Rewire(d.src, &to)
}

// tie joins the rears of jacks, counted on from the first of each.
func (d studioDraft) tie(form url.Values) ([]byte, error) {
	var ends [2]string
	for i, key := range []string{"jack", "to"} {
		jack, err := words.Find(d.studio, strings.TrimSpace(form.Get(key)))
		if err != nil {
			return nil, err
		}
		ends[i] = jack.String()
	}
	n, err := counts(form, "many", mostPorts)
	if err != nil {
		return nil, err
	}
	if n > 1 {
		for i := range ends {
			jack, _ := name.Parse(ends[i]) // it was resolved above
			ends[i] += "-" + strconv.Itoa(jack.Number+n-1)
		}
	}
	return into(d.src, "ties", []string{"- " + ends[0] + " = " + ends[1]}), nil
}

// mode gives a pair another mode, or several from it on.
func (d studioDraft) mode(form url.Values) ([]byte, error) {
	jack, err := words.Find(d.studio, strings.TrimSpace(form.Get("jack")))
	if err != nil {
		return nil, err
	}
	n, err := counts(form, "many", mostPorts)
	if err != nil {
		return nil, err
	}
	mode := bench.ModeCalled(form.Get("mode"))
	if mode == studio.ModeUnknown {
		return nil, fmt.Errorf("%q is no mode of a pair", form.Get("mode"))
	}
	to := *d.studio
	to.Bays = slices.Clone(to.Bays)
	for i, b := range to.Bays {
		if b.Name != jack.Owner {
			continue
		}
		to.Bays[i].Modes = slices.Clone(b.Modes)
		for at := jack.Number; at < jack.Number+max(n, 1) && at <= b.Pairs(); at++ {
			to.Bays[i].Modes[at-1] = mode
		}
		return text.Rewire(d.src, &to)
	}
	return nil, fmt.Errorf("%s is no jack of a bay", jack)
}
