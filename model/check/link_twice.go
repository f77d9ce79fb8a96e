package check

import (
	"fmt"
	"strings"
)

var linkTwice = rule{
	Rule: Rule{
		Code:     "link-twice",
		Severity: "error",
		Title:    "two matrices are said to be connected to one link",
		Manual: `One program at a time can hold a link, and what one device answers would be read
as the answer of the other. Give each matrix the link that it is really connected to.`,
		Bad: Example{Studio: `studio: One line for two matrices
matrices:
  grid: {inputs: 4, outputs: 4, device: {description: line-switch, link: "serial:/dev/ttyUSB0?baud=9600"}}
  shade: {inputs: 4, outputs: 4, device: {description: line-switch, link: "serial:/dev/ttyUSB0"}}
`},
		Good: Example{Studio: `studio: A line for each matrix
matrices:
  grid: {inputs: 4, outputs: 4, device: {description: line-switch, link: "serial:/dev/ttyUSB0?baud=9600"}}
  shade: {inputs: 4, outputs: 4, device: {description: line-switch, link: "serial:/dev/ttyUSB1"}}
`},
	},
	studio: linksTwice,
}

func linksTwice(v *view) []violation {
	first := map[string]string{}
	var all []violation
	for _, m := range v.studio.Matrices {
		if m.Device == nil {
			continue
		}
		// What follows the question mark is how the link is set, not which it is.
		link, _, _ := strings.Cut(m.Device.Link, "?")
		other, taken := first[link]
		if !taken {
			first[link] = m.Name
			continue
		}
		all = append(all, violation{
			key:     "matrices." + m.Name + ".device.link",
			message: fmt.Sprintf("the link %s of %s is also that of %s", link, m.Name, other),
			hint:    "give each matrix the link that it is connected to; bayhand links lists those of this machine",
		})
	}
	return all
}
