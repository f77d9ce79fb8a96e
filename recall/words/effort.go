package words

import (
	"strconv"

	"bayhand/model/plan"
)

// Effort counts the plugs that a plan handles, and says whether that is the minimum.
func Effort(p *plan.Plan) string {
	return Put(effort(p), "n", strconv.Itoa(p.Plugs), "least", strconv.Itoa(p.Least))
}

func effort(p *plan.Plan) string {
	switch one := p.Plugs == 1; {
	case p.Plugs == 0:
		return "no plug to handle"
	case p.Plugs == p.Least && one:
		return "1 plug to handle, the minimum"
	case p.Plugs == p.Least:
		return "{n} plugs to handle, the minimum"
	case p.Stopped && one:
		return "1 plug to handle; search stopped early; at least {least} needed"
	case p.Stopped:
		return "{n} plugs to handle; search stopped early; at least {least} needed"
	case one:
		return "1 plug to handle; at least {least} needed"
	}
	return "{n} plugs to handle; at least {least} needed"
}
