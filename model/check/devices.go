package check

import (
	"bayhand/model/device"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// deviceRule is one that looks at a matrix beside the description of its device.
type deviceRule struct {
	Rule
	find func(m studio.Matrix, d *device.Description) []violation
}

var deviceRules = []deviceRule{matrixWide, linkUnfit, parameterUnfit, gangsApart}

// Devices finds what does not fit between the matrices of a studio and the
// descriptions of their devices, sorted by place. Described finds a description
// by its name, and whether there is one; nil for one that is there and cannot be
// read, of which its reader speaks.
func Devices(s *studio.Studio, described func(name string) (d *device.Description, known bool), places text.Places) []Finding {
	var findings []Finding
	for _, m := range s.Matrices {
		if m.Device == nil {
			continue
		}
		d, known := described(m.Device.Description)
		if !known {
			findings = append(findings, rule{Rule: descriptionUnknown}.placed(descriptionMissing(m), places)...)
		}
		if d == nil {
			continue
		}
		for _, r := range deviceRules {
			findings = append(findings, rule{Rule: r.Rule}.placed(r.find(m, d), places)...)
		}
	}
	return sorted(findings)
}

// deviceStudio is a studio with one matrix, for the examples of these rules.
func deviceStudio(size, link, more string) string {
	return `studio: A matrix
matrices:
  grid: {` + size + `, device: {description: midi-exclusive, link: "` + link + `"` + more + `}}
`
}
