package check

import (
	"fmt"

	"bayhand/model/studio"
)

var descriptionUnknown = Rule{
	Code:     "description-unknown",
	Severity: "error",
	Title:    "a device has a description that is not there",
	Manual: `description: names a file NAME.yaml beside the studio's file, or a description that
ships. Without it nobody knows what to send, and the matrix cannot be driven.`,
	Bad: Example{Studio: `studio: A matrix
matrices:
  grid: {inputs: 16, outputs: 16, device: {description: scpi-swich, link: "tcp:127.0.0.1:5025"}}
`},
	Good: Example{Studio: `studio: A matrix
matrices:
  grid: {inputs: 16, outputs: 16, device: {description: scpi-switch, link: "tcp:127.0.0.1:5025"}}
`},
}

func descriptionMissing(m studio.Matrix) []violation {
	return []violation{{
		key:     "matrices." + m.Name + ".device.description",
		message: fmt.Sprintf("%s is said to be a %s, and there is no such description", m.Name, m.Device.Description),
		hint:    "write the name of one that ships (bayhand simulate completes them), or put its file beside the studio's",
	}}
}
