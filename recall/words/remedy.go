package words

import "bayhand/recall/keep"

// Remedy is an act that answers a problem, as the words on a button.
func (w *Words) Remedy(act keep.Act) string {
	switch act.Do {
	case keep.Replaced:
		return "This is the right device for " + w.Owner(act.Matrix)
	case keep.ToPutBack:
		return "Restore " + w.Owner(act.Matrix)
	case keep.ToLeave:
		return "Leave " + w.Owner(act.Matrix) + " alone"
	case keep.StillSo:
		return "The bay is unchanged"
	case keep.ToRecall:
		return "Recall " + Session(act.Session) + " as its file is now"
	case keep.ToPreview, keep.ToUndo, keep.WereDone, keep.NotDone, keep.Plugged, keep.Pulled, keep.Moved,
		keep.Faulty, keep.Sound, keep.WasHeard, keep.NotHeard, keep.ByEar, keep.ToListen, keep.Listened:
	}
	return string(act.Do)
}
