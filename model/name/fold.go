package name

import "strconv"

// Fold writes points in the shortest form that List expands to the same points
// in the same order: runs of one owner and stem become ranges and lists.
func Fold(points []Point) []string {
	var texts []string
	for start := 0; start < len(points); {
		end := start + 1
		for end < len(points) && sameStem(points[start], points[end]) {
			end++
		}
		texts = append(texts, foldRun(points[start:end]))
		start = end
	}
	return texts
}

func sameStem(p, q Point) bool {
	return p.Owner == q.Owner && p.Stem == q.Stem && p.Part == q.Part && p.Number > 0 && q.Number > 0
}

func foldRun(run []Point) string {
	if len(run) == 1 {
		return run[0].String()
	}
	text := run[0].Owner + "/" + run[0].Stem
	for i := 0; i < len(run); {
		j := i
		for j+1 < len(run) && run[j+1].Number == run[j].Number+1 {
			j++
		}
		if i > 0 {
			text += ","
		}
		text += strconv.Itoa(run[i].Number)
		if j > i {
			text += "-" + strconv.Itoa(run[j].Number)
		}
		i = j + 1
	}
	return text + run[0].Part.String()
}
