package text

// PatchFields are the fields of a patch file.
func PatchFields() Table { return patchFields }

var cordFields = Table{Name: "a cord", Fields: []Field{
	{Key: "ends", Kind: Names, Form: "[main/t1, main/b25]", Required: true, Help: "the jacks that it is in; one if the other end is loose"},
	{Key: "length", Kind: Length, Form: "60 cm", Help: "its length; without it the shortest owned that reaches"},
	{Key: "poles", Kind: Number, From: 2, To: 3, Form: "2", Help: "2 for tip and sleeve, 3 with a ring"},
}}

// contentFields are those of a patch without its heading, as rest: has them.
var contentFields = Table{Name: "a patch", Fields: []Field{
	{Key: "cords", Kind: Lines, Of: &cordFields, Form: "[main/t1 - main/b25]", Help: "cords by the jacks that they are in"},
	{Key: "leads", Kind: Lines, Form: "[synth/out1 - main/b3]", Help: "gear cables: from gear that is not wired to a bay, into a jack"},
	{Key: "dummies", Kind: Names, Form: "[main/b4]", Help: "jacks with a plug that only breaks a normal"},
	{Key: "crosspoints", Kind: Other, Any: []Field{{Kind: Tree}}, Form: "{grid: {out1: in5}}", Help: "the input of each output of a matrix; an output that is not named is off or open"},
}}

var patchFields = Table{Name: "a patch file", Fields: []Field{
	{Key: "patch", Kind: Record, Of: &contentFields, Required: true, Help: "everything that can change"},
}}

// planFields are what plan --json prints beside the patch. They are passed over.
var planFields = []string{"session", "given", "plugs", "least", "moves", "crosspoints", "steps", "missing", "loses", "stopped"}
