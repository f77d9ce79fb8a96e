package plan

import "bayhand/model/plan/clause"

var debugName = func(clause.Lit, string) {}
var debugWhat string
var debugCore = func(int, []clause.Lit) {}
