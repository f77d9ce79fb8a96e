package gate

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// versions are the files of this host, against those that the hosts go by.
type versions struct {
	house  house.House
	host   house.Host
	shares bool // there are others, whose files may be others
	// duties are what the file of the house gives to each host, digest tells them from
	// others, and mark this daemon from others.
	duties map[string]house.Duties
	digest string
	mark   string

	// mu guards the fields below.
	mu      sync.Mutex
	files   border.Files // those that the hosts go by, as far as that is known
	entries map[string]border.Entry
	// apart is what the file of the house here gives to others than they go by.
	apart []house.Difference
	// asked is true once the table was asked, entered once it has this daemon.
	asked, entered bool
}

func newVersions(h house.House, host house.Host) *versions {
	duties := h.Duties()
	return &versions{house: h, host: host, shares: len(h.Servers) > 0, duties: duties, digest: house.Digest(duties), mark: border.NewMark()}
}

// errTwice is an act of a daemon in whose place another one entered.
var errTwice = errors.New("another daemon says that it is this host")

// digests are what an act says of the files here; empty where nobody has others.
func (v *versions) digests(studio string) (files, house string) {
	if !v.shares {
		return "", ""
	}
	return studio, v.digest
}

// saw takes a view of the table, and says whether other matrices may be driven now.
func (v *versions) saw(t border.Table) bool {
	before := v.holdsBack()
	v.mu.Lock()
	if t.Files.House != v.files.House {
		v.apart = nil
		if t.Files.House != "" && t.Files.House != v.digest {
			v.apart = house.Differences(v.duties, t.Files.Duties)
		}
	}
	v.files, v.entries = t.Files, maps.Clone(t.Hosts)
	v.entered = v.entered || v.entries[v.host.Name].Mark == v.mark
	v.mu.Unlock()
	return !maps.Equal(before, v.holdsBack())
}

// wasAsked notes that the table was asked once, however that ended.
func (v *versions) wasAsked() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.asked = true
}

// told says whether the table has which files this host has.
func (v *versions) told(studio string) bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.entries[v.host.Name].Same(border.Entry{Studio: studio, House: v.digest, Mark: v.mark})
}

// agreed says whether all hosts seem to have the files here while they go by others; the
// table says whether it is so.
func (v *versions) agreed(studio string) bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.files.Digest == studio && v.files.House == v.digest || v.files.Digest == "" {
		return false
	}
	return len(v.lacking(studio)) == 0
}

// lacking are the hosts that are known to have other files than those here, sorted. Whoever
// calls has mu.
func (v *versions) lacking(studio string) []string {
	var all []string
	for host, e := range v.entries {
		_, keeps := v.duties[host]
		_, kept := v.files.Duties[host]
		if (keeps || kept) && (e.Studio != studio || e.House != v.digest) {
			all = append(all, host)
		}
	}
	slices.Sort(all)
	return all
}

// twice says whether another daemon entered as this host after this one did.
func (v *versions) twice() bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.entered && v.entries[v.host.Name].Mark != v.mark
}

// elsewhere is who keeps a room by the file that the hosts go by, where that is another
// host than by the file here.
func (v *versions) elsewhere(room string) ([]string, bool) {
	v.mu.Lock()
	defer v.mu.Unlock()
	for _, d := range v.apart {
		if d.What == house.Room && d.Name == room {
			return d.There, true
		}
	}
	return nil, false
}

// heldBack says whether a matrix that several hosts could reach is not to be driven here.
func (v *versions) heldBack(matrix string) bool {
	if v.twice() {
		return true
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.files.House == "" {
		return !v.asked
	}
	return slices.ContainsFunc(v.apart, func(d house.Difference) bool { return d.What != house.Room && d.Name == matrix })
}

// holdsBack are the matrices of this host, each with whether it is held back.
func (v *versions) holdsBack() map[string]bool {
	all := map[string]bool{}
	for _, matrix := range slices.Concat(v.host.Lines, v.host.StandBy) {
		all[matrix] = v.heldBack(matrix)
	}
	return all
}

// notes are what a person should know of hosts with other files.
func (v *versions) notes(studio string) []keep.Problem {
	if !v.shares {
		return nil
	}
	twice := v.twice()
	v.mu.Lock()
	defer v.mu.Unlock()
	var notes []keep.Problem
	if twice {
		notes = append(notes, enteredTwice(v.host.Name, v.entries[v.host.Name]))
	}
	wrong := func(message string) {
		notes = append(notes, keep.Problem{Code: "other-files", Severity: "error", Since: v.files.At, Message: message})
	}
	if v.files.Digest != "" && studio != v.files.Digest {
		wrong(words.Put("the studio file here ({here}) is not the one that the hosts go by ({there}, from host {host}). This host gets no more shared lines and gives none back; "+
			"what its rooms hold, and its matrices, go on. {remedy}",
			"here", short(studio), "there", short(v.files.Digest), "host", v.files.Host, "remedy", v.remedy(studio, "Bring all hosts to one version")))
	}
	if len(v.apart) > 0 {
		wrong(words.Put("the house file here ({here}) is not the one that the hosts go by ({there}, from host {host}). This host gets no more shared lines and gives none back; "+
			"its other rooms and matrices go on. {remedy}",
			"here", short(v.digest), "there", short(v.files.House), "host", v.files.Host, "remedy", v.remedy(studio, "Bring all hosts to one version and start them again")))
	}
	for _, d := range v.apart {
		wrong(toldApart(d))
	}
	return append(notes, v.others()...)
}

// remedy says what is to be done about files that differ. Whoever calls has mu.
func (v *versions) remedy(studio, bring string) string {
	lacking := v.lacking(studio)
	if len(lacking) == 0 {
		return words.Put("{bring}, or, where the file here is the newer, run: bayhand house adopt", "bring", bring)
	}
	return words.Put("{bring}: they go by it as soon as all have it. Another one is at {hosts}; where a host is off and the file here is the newer, run: bayhand house adopt",
		"bring", bring, "hosts", hostsOr(lacking))
}

// others are the hosts of this house that have other files than it goes by. Whoever calls
// has mu.
func (v *versions) others() []keep.Problem {
	var notes []keep.Problem
	for _, host := range v.house.Names() {
		e, is := v.entries[host]
		_, keeps := v.duties[host]
		_, kept := v.files.Duties[host]
		if !is || host == v.host.Name || !keeps && !kept {
			continue // one that keeps nothing claims nothing
		}
		for _, text := range Unlike(host, e, v.files) {
			notes = append(notes, keep.Problem{Code: "mixed-files", Severity: "warning", Since: e.At, Message: words.Put(
				"{unlike}. That host gets no more shared lines until all have one version", "unlike", text)})
		}
	}
	return notes
}

// Unlike says which files of a host are not those that the hosts go by; nothing where all
// are.
func Unlike(host string, e border.Entry, files border.Files) []string {
	var all []string
	if files.Digest != "" && e.Studio != files.Digest {
		all = append(all, words.Put("host {host} has another studio file ({its}) than the hosts go by ({theirs}, from host {from})",
			"host", host, "its", short(e.Studio), "theirs", short(files.Digest), "from", files.Host))
	}
	if files.House != "" && e.House != files.House {
		all = append(all, words.Put("host {host} has another house file ({its}) than the hosts go by ({theirs}, from host {from})",
			"host", host, "its", short(e.House), "theirs", short(files.House), "from", files.Host))
	}
	return all
}

func short(digest string) string { return fmt.Sprintf("%.8s", digest) }

// toldApart says of a room or matrix which host has it by which file.
func toldApart(d house.Difference) string {
	form := map[house.What]string{
		house.Room:    "room {name}: kept by {here} in the house file here, by {there} in the one that the hosts go by",
		house.Line:    "matrix {name}: connected to {here} in the house file here, to {there} in the one that the hosts go by. Over a network it is not driven here; on a cable it is",
		house.StandBy: "matrix {name}: stood by for by {here} in the house file here, by {there} in the one that the hosts go by. It is not driven over a network here",
	}[d.What]
	return words.Put(form, "name", d.Name, "here", hostsOr(d.Here), "there", hostsOr(d.There))
}

func hostsOr(hosts []string) string {
	if len(hosts) == 0 {
		return "no host"
	}
	return words.Put("host {hosts}", "hosts", strings.Join(hosts, ", "))
}

func enteredTwice(host string, e border.Entry) keep.Problem {
	return keep.Problem{Code: "host-twice", Severity: "error", Since: e.At, Message: words.Put(
		"another daemon, on the machine {machine}, says that it is host {host}. This one gets no more shared lines, gives none back, and drives nothing over a network. "+
			"End one of them, or give it the --house-host of its own", "machine", orUnknown(e.Machine), "host", host)}
}

func orUnknown(machine string) string {
	if machine == "" {
		return "with no name"
	}
	return machine
}

// enter tells the table which files this host has, where it does not say so, and has the
// hosts go by these where all have the same.
func (g *Gate) enter(ctx context.Context, studio string) {
	v := g.versions
	if !v.shares || v.twice() {
		return
	}
	for _, do := range []border.Do{border.ToEnter, border.ToAgree} {
		if do == border.ToEnter && v.told(studio) || do == border.ToAgree && !v.agreed(studio) {
			continue
		}
		act := border.Act{Do: do, Host: g.host.Name, Mark: v.mark, Files: studio, House: v.digest, Duties: v.duties, Machine: g.config.Machine, At: g.config.Now()}
		after, err := g.config.Border.Act(ctx, act)
		if err != nil {
			return
		}
		g.saw(after)
	}
}

// ask looks at the table once, however that ends.
func (g *Gate) ask(ctx context.Context) {
	view, _ := g.config.Border.View(ctx)
	g.saw(view)
	g.versions.wasAsked()
	g.config.Changed()
}

// HeldBack says whether a matrix that several hosts could reach is not to be driven here:
// until the table was asked once, while the hosts go by a file that gives it otherwise, and
// while another daemon says that it is this host.
func (g *Gate) HeldBack(matrix string) bool { return g.versions.heldBack(matrix) }
