package paper

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	files "bayhand/model/text"
	"bayhand/recall/words"
	"bayhand/simulators/rooms"
)

// sheetOf plans a session from the rest of its room and makes its sheet.
func sheetOf(t testing.TB, room *heard.Room, s *session.Session) Recall {
	t.Helper()
	from := room.Studio().Rest.Clone()
	made, err := planner.Make(context.Background(), plan.Request{Studio: room.Studio(), From: from, Session: s, Partly: true, Effort: 5})
	if err != nil {
		t.Fatal(err)
	}
	return FromOccasion(Occasion{Room: room, Session: s, Plan: made, From: from})
}

// onSheet is a printed sheet as another program reads it, in one line.
func onSheet(t *testing.T, r Recall) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := RecallPDF(&b, r, A4); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")), " ")
}

// Every cord of drawn sessions is on its sheet with both ends, and no other.
// BAYHAND_SHEETS says of how many sessions.
func TestEveryCordIsOnItsSheet(t *testing.T) {
	want := 24
	if text := os.Getenv("BAYHAND_SHEETS"); text != "" {
		want, _ = strconv.Atoi(text)
	}
	cords := 0
	for seed, done := uint64(1), 0; done < want; seed++ {
		drawn := rooms.Draw(seed)
		if len(drawn.Patch.Cords) == 0 {
			continue
		}
		done++
		r := FromOccasion(Occasion{Room: heard.NewRoom(drawn.Studio), Session: drawn.Session(), Plan: plugging(drawn.Patch, seed)})
		r.Session = "Drawn " + strconv.FormatUint(seed, 10)
		text := onSheet(t, r)
		w := words.In(r.room)
		joints := 0
		for _, c := range r.patch.Cords {
			if ends := c.Ends(); len(ends) == 2 {
				joints++
				cords++
				a, b := w.Point(ends[0]), w.Point(ends[1])
				if strings.Count(text, a+" → "+b)+strings.Count(text, b+" → "+a) != 1+carriedAs(r, a, b) {
					t.Errorf("room %d: the cord from %s to %s is not on its sheet once:\n%s", seed, a, b, text)
				}
			}
		}
		joints += len(r.patch.Leads) + carried(r) + switched(r)
		if arrows := strings.Count(text, "→"); arrows != joints+looseMoves(r) {
			t.Errorf("room %d: %d cords and leads are in, and %d are on the sheet:\n%s", seed, joints, arrows, text)
		}
	}
	if cords < want/2 {
		t.Errorf("only %d cords in %d sessions: the draw is too poor", cords, want)
	}
}

// plugging is a plan that plugs what is in a patch, but for some that are in already.
func plugging(p patch.Patch, seed uint64) *plan.Plan {
	made := &plan.Plan{Target: plan.Target(p)}
	add := func(do plan.Do, ends []name.Point) {
		id := uint64(len(made.Steps))
		if seed%3 == 0 && id%4 == 1 {
			return
		}
		made.Steps = append(made.Steps, plan.Step{ID: strconv.FormatUint(id+1, 10), By: plan.Person, Do: do, Ends: ends})
	}
	for _, c := range p.Cords {
		add(plan.Plug, c.Ends())
	}
	for _, l := range p.Leads {
		add(plan.PlugLead, []name.Point{l.Port, l.Jack})
	}
	for _, dummy := range p.Dummies {
		add(plan.PlugDummy, []name.Point{dummy})
	}
	return made
}

// carried are the arrows of what goes over cords and leads.
func carried(r Recall) int {
	n := 0
	for _, c := range r.Stays {
		n += strings.Count(c.Carries, " -> ")
	}
	for _, s := range r.Steps {
		if s.Cord != nil {
			n += strings.Count(s.Cord.Carries, " -> ")
		}
	}
	return n
}

// looseMoves are steps with an arrow that join nothing.
func looseMoves(r Recall) int {
	n := 0
	for _, s := range r.Steps {
		if strings.Contains(s.What, " -> ") && (s.Cord == nil || s.Cord.To == "") {
			n++
		}
	}
	return n
}

// carriedAs counts the cords whose signal is told in the words of another cord, since it
// comes from one of its jacks and goes to the other by ties.
func carriedAs(r Recall, a, b string) int {
	n := 0
	count := func(c RecallCord) {
		n += strings.Count(c.Carries, a+" -> "+b) + strings.Count(c.Carries, b+" -> "+a)
	}
	for _, s := range r.Steps {
		if s.Cord != nil {
			count(*s.Cord)
		}
	}
	for _, c := range r.Stays {
		count(c)
	}
	return n
}

// switched are the outputs of matrices that listen to something, each told with an arrow.
func switched(r Recall) int {
	n := 0
	for _, m := range r.Matrices {
		for _, p := range m.Points {
			if len(p.Inputs) > 0 {
				n++
			}
		}
	}
	return n
}

const recalled = `studio: Recalled
gear:
  interface: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  squeeze: {label: compressor, channels: 2, line: pro-line}
  plate: {inputs: {in1: home-line}, outputs: {out1: home-line}, midi: {port: m, channel: 3, first: 1}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: the knob}}
bays: {main: {pairs: 16, jack: bantam, modes: {1-4: half-normal, 5-16: isolated}}}
matrices: {grid: {inputs: 2, outputs: 2}}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-2 -> speakers/in1-2
  - main/b3-4 -> interface/in1-2
  - squeeze/out1-2 -> main/t5-6
  - main/b5-6 -> squeeze/in1-2
  - plate/out1 -> grid/in1
  - grid/out1 -> interface/in3
  - main/b7 -> plate/in1
cords: {stock: [{length: 30 cm, count: 8, colour: red}]}
dummies: 2
`

const recalledSession = `session: Violin, on paper
connect:
  - violin: interface/out3 -> squeeze/1 -> interface/in1
  - plate return: plate/out1 -> interface/in3
silent: [interface/in2]
inside: [interface/in1 -> interface/out1]
programs: {plate: 7}
settings: {squeeze: {threshold: -12 dB, ratio: "4:1"}}
notes: The violin was loud.
`

func recalledSheet(t testing.TB, session string) Recall {
	t.Helper()
	s := readStudio(t, recalled)
	in, _, problems := files.ReadSession("violin.yaml", []byte(session), s, nil)
	if problems.Errors() {
		t.Fatalf("%v", problems)
	}
	r := sheetOf(t, heard.NewRoom(s), in)
	r.Date = time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)
	r.Origin, r.Known, r.Address = "studio.yaml 01234567", "The steps begin at the rest patch.", "violin"
	return r
}

func TestRecallSheetHoldsAllThatASessionNeeds(t *testing.T) {
	r := recalledSheet(t, recalledSession)
	text := onSheet(t, r)
	for _, want := range []string{
		"Violin, on paper", "2026-03-14", "The violin was loud.", "studio.yaml 01234567", "page 1 of",
		"main 3 top → main 5 bottom", "main 5 top → main 3 bottom", "30 cm red", "violin; ",
		"in 1 → out 1: plate out 1 to interface in 3",
		"threshold −12 dB", "ratio 4:1", "program 7",
		"Carried inside the software or desk interface in 1 to interface out 1", "Must stay silent interface in 2",
		"Turn loudspeakers and headphones down",
	} {
		if !strings.Contains(strings.ReplaceAll(text, "-12 dB", "−12 dB"), want) {
			t.Errorf("%q is not on the sheet:\n%s", want, text)
		}
	}
	var b bytes.Buffer
	if err := RecallText(&b, r, 80); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"main 3 top -> main 5 bottom  30 cm red", "program: 7", "violin; "} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is not in the text:\n%s", want, b.String())
		}
	}
}

// Both ends of a cord stand on one page, however many cords there are.
func TestNoCordIsPartedByAPage(t *testing.T) {
	s := readStudio(t, "studio: Many\nbays: {main: {pairs: 120, jack: bantam, modes: isolated}}\n")
	r := Recall{Session: "Many cords", room: s}
	for n := range 70 {
		p := s.Bays[0].TopJack(n + 1)
		q := s.Bays[0].BottomJack(n + 30)
		r.Steps = append(r.Steps, RecallStep{Number: strconv.Itoa(n + 1), Verb: "plug", What: words.In(s).Point(p) + " -> " + words.In(s).Point(q),
			Cord: &RecallCord{Mark: letter(n), Length: "30 cm", Carries: "carries something worth a second line"}})
	}
	var b bytes.Buffer
	if _, err := RecallPDF(&b, r, A4); err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-"), "\f")
	found := 0
	for _, page := range pages {
		text := strings.Join(strings.Fields(page), " ")
		found += strings.Count(text, "→")
		if strings.Count(text, "top →") != strings.Count(text, "carries something") {
			t.Errorf("a cord and what it carries are parted:\n%s", text)
		}
	}
	if found != 70 || len(pages) < 4 {
		t.Errorf("%d cords on %d pages", found, len(pages)-1)
	}
}

// A matrix stands on one page with its list and its grid.
func TestNoMatrixIsPartedByAPage(t *testing.T) {
	r := Recall{Session: "Grids", Since: "Rest"}
	for n := range 5 {
		m := MatrixSheet{Name: fmt.Sprintf("switcher %d", n), Inputs: 8}
		for out := 1; out <= 20; out++ {
			m.Points = append(m.Points, MatrixLine{Output: out, Inputs: []int{1}, To: fmt.Sprintf("place %d", n)})
		}
		r.Matrices = append(r.Matrices, m)
	}
	var b bytes.Buffer
	if _, err := RecallPDF(&b, r, A4); err != nil {
		t.Fatal(err)
	}
	whole := 0
	for page := range strings.SplitSeq(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-"), "\f") {
		for n := range 5 {
			if strings.Contains(page, fmt.Sprintf("switcher %d", n)) && strings.Contains(page, fmt.Sprintf("out 20 to place %d", n)) {
				whole++
			}
		}
	}
	if whole != 5 {
		t.Errorf("%d of 5 matrices stand whole on a page", whole)
	}
}

func TestSheetSinceAnotherSession(t *testing.T) {
	before := recalledSheet(t, recalledSession)
	now := recalledSheet(t, strings.NewReplacer("-12 dB", "-8 dB", "Violin, on", "Violin, again on").Replace(recalledSession))
	r := now.SinceOther(before)
	if len(r.Matrices) != 0 || len(r.Lists) != 0 || r.Notes != "" {
		t.Errorf("what is the same is told again: %+v", r)
	}
	if len(r.Settings) != 1 || !slices.Equal(r.Settings[0].Items, []Item{{"threshold", "-8 dB"}}) {
		t.Errorf("the settings that differ are %+v", r.Settings)
	}
	if !strings.Contains(r.known(), "differs from Violin, on paper") {
		t.Errorf("it does not say what it differs from: %q", r.known())
	}
}

// What stays is told as steps are, the source before the destination, whichever end the
// patch has first.
func TestStaysAreToldFromTheirSource(t *testing.T) {
	room := heard.NewRoom(readStudio(t, recalled))
	for _, ends := range [][2]string{{"main/t5", "main/b3"}, {"main/b3", "main/t5"}} {
		p := patch.Patch{Cords: []patch.Cord{{A: point(t, ends[0]), B: point(t, ends[1])}}}
		r := FromOccasion(Occasion{Room: room, Session: &session.Session{}, Plan: &plan.Plan{Target: plan.Target(p)}, From: p})
		if len(r.Stays) != 1 || r.Stays[0].From != "main 5 top" || r.Stays[0].To != "main 3 bottom" {
			t.Errorf("%v: %+v stay, want main 5 top to main 3 bottom", ends, r.Stays)
		}
	}
}

func TestSheetsAreTheSameEachTime(t *testing.T) {
	s := readStudio(t, recalled)
	wall := Wall{Room: heard.NewRoom(s)}
	for name, write := range map[string]func(*bytes.Buffer) ([]Warning, error){
		"recall": func(b *bytes.Buffer) ([]Warning, error) { return RecallPDF(b, recalledSheet(t, recalledSession), A4) },
		"wall":   func(b *bytes.Buffer) ([]Warning, error) { return WallPDF(b, wall, A4) },
		"blank":  func(b *bytes.Buffer) ([]Warning, error) { return BlankPDF(b, wall, A4) },
	} {
		var first, again bytes.Buffer
		if _, err := write(&first); err != nil {
			t.Fatal(err)
		}
		if _, err := write(&again); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first.Bytes(), again.Bytes()) {
			t.Errorf("%s: the same sheet gave other bytes", name)
		}
	}
}

func TestWallAndBlankSheets(t *testing.T) {
	s := readStudio(t, recalled)
	wall := Wall{Room: heard.NewRoom(s)}
	var b bytes.Buffer
	if _, err := WallPDF(&b, wall, A4); err != nil {
		t.Fatal(err)
	}
	path := saved(t, b.Bytes())
	embedded(t, path)
	text := strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", path, "-")), " ")
	for _, want := range []string{"The bays in the rest patch", "speakers: in 1 from interface out 1", "speakers: by hand at the knob"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the wall sheet:\n%s", want, text)
		}
	}
	b.Reset()
	if _, err := BlankPDF(&b, wall, A4); err != nil {
		t.Fatal(err)
	}
	text = strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")), " ")
	for _, want := range []string{"Session: ____", "behind the upper jack", "compressor out 1", "upper jacks at the left"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the form:\n%s", want, text)
		}
	}
}

// Where names are too long for the form, each jack still has a line of its own: the port
// and the number of the gear stay.
func TestLongNamesStayApartOnTheForm(t *testing.T) {
	s := readStudio(t, `studio: School
gear:
  a: {label: Condenser microphone preamplifier with transformer number 1, outputs: {out1-2: pro-line}}
  b: {label: Condenser microphone preamplifier with transformer number 2, outputs: {out1-2: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - a/out1-2 -> main/t1-2
  - b/out1-2 -> main/t3-4
`)
	for _, size := range []Size{A4, Letter} {
		var b bytes.Buffer
		if _, err := BlankPDF(&b, Wall{Room: heard.NewRoom(s)}, size); err != nil {
			t.Fatal(err)
		}
		text := strings.Join(strings.Fields(outside(t, "pdftotext", "-layout", saved(t, b.Bytes()), "-")), " ")
		for _, want := range []string{"number 1 out 1", "number 1 out 2", "number 2 out 1", "number 2 out 2"} {
			if strings.Count(text, want) != 2 {
				t.Errorf("%q stands %d times on the form, want 2:\n%s", want, strings.Count(text, want), text)
			}
		}
	}
}

func TestPicturesMustBePictures(t *testing.T) {
	if err := CheckPicture([]byte("no picture")); err == nil {
		t.Error("anything is taken for a picture")
	}
	_, err := RecallPDF(new(bytes.Buffer), Recall{room: readStudio(t, recalled), Settings: []GearSheet{{Label: "x", Picture: []byte("no")}}}, A4)
	if err == nil {
		t.Error("a picture that is none is printed")
	}
}
