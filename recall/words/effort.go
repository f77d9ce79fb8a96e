package words

import (
	"fmt"

	"bayhand/model/plan"
)

// Effort counts the plugs that a plan handles, and says whether that is the minimum.
func Effort(p *plan.Plan) string {
	plugs := fmt.Sprintf("%d plugs to handle", p.Plugs)
	switch {
	case p.Plugs == 0:
		return "no plug to handle"
	case p.Plugs == 1:
		plugs = "1 plug to handle"
	}
	switch {
	case p.Plugs == p.Least:
		return plugs + ", the minimum"
	case p.Stopped:
		return fmt.Sprintf("%s; search stopped early; at least %d needed", plugs, p.Least)
	}
	return fmt.Sprintf("%s; at least %d needed", plugs, p.Least)
}
