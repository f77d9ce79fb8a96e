package words

import (
	"strconv"

	"bayhand/recall/keep"
)

// Remedy is an act that answers a problem, as the words on a button.
func (w *Words) Remedy(of keep.Problem, act keep.Act) string {
	switch act.Do {
	case keep.Replaced:
		return Put("This is the right device for {matrix}", "matrix", w.Owner(act.Matrix))
	case keep.ToPutBack:
		return Put("Restore {matrix}", "matrix", w.Owner(act.Matrix))
	case keep.ToLeave:
		return Put("Leave {matrix} alone", "matrix", w.Owner(act.Matrix))
	case keep.Binned:
		return Put("Cord {number} is thrown away, or mended", "number", strconv.Itoa(act.Number))
	case keep.StillSo:
		return "The bay is unchanged"
	case keep.ToRecall:
		return Put(recallText(of.Code), "session", Session(act.Session))
	case keep.ToPreview, keep.ToUndo, keep.WereDone, keep.NotDone, keep.Plugged, keep.Pulled, keep.Moved,
		keep.Faulty, keep.Sound, keep.WasHeard, keep.NotHeard, keep.ByEar, keep.Number, keep.CordFailed, keep.ToListen, keep.Listened:
	}
	return string(act.Do)
}

// recallText is why a session is recalled once more, by the code of the problem.
func recallText(code string) string {
	switch code {
	case "not-given", "room-not-given":
		return "Search longer for a plan for {session}"
	case keep.Code(keep.ErrNoAnswer):
		return "Once it answers, recall {session} again"
	case keep.Code(keep.ErrRefused), keep.Code(keep.ErrDiffers):
		return "Recall {session} again"
	}
	return "Recall {session} as its file is now"
}
