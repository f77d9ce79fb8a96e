package rooms

import "bayhand/model/studio"

// Features counts what a room holds, by the words of the trade, so that a
// property can say what it has been tried on.
func (r Room) Features() map[string]int {
	counts := map[string]int{
		"strapped normal": len(r.Studio.Normals),
		"dead normal":     len(r.Studio.FaultyNormals),
		"tie":             len(r.Studio.Ties),
		"mult":            len(r.Studio.Mults),
		"dummy":           len(r.Patch.Dummies),
		"lead":            len(r.Patch.Leads),
		"rest cord":       len(r.Studio.Rest.Cords),
	}
	for _, bay := range r.Studio.Bays {
		for _, mode := range bay.Modes {
			counts[mode.String()+" pair"]++
		}
	}
	for _, c := range r.Patch.Cords {
		if c.B.IsZero() {
			counts["loose cord"]++
		} else {
			counts["cord"]++
		}
	}
	for _, m := range r.Studio.Matrices {
		counts[kind(m)+" crosspoint"] += len(r.Patch.Of(m.Name))
	}
	return counts
}

func kind(m studio.Matrix) string {
	switch {
	case m.Kind == studio.Contacts:
		return "relay"
	case m.LetsGo:
		return "letting amplifier"
	default:
		return "driving amplifier"
	}
}
