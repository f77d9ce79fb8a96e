package scpi

import "strings"

// command is what a header stands for.
type command struct {
	// least and most data that it takes.
	least, most int
	// run carries it out and gives the answer, empty for a command that is no
	// query.
	run func(s *Switcher, data []datum) (string, error)
}

// call checks the count of data and runs the command.
func (c *command) call(s *Switcher, data []datum) (string, error) {
	if len(data) < c.least {
		return "", fault{code: missingParameter}
	}
	if len(data) > c.most {
		return "", fault{code: parameterNotAllowed}
	}
	return c.run(s, data)
}

// query makes a command without data that answers.
func query(answer func(s *Switcher) string) *command {
	return &command{run: func(s *Switcher, _ []datum) (string, error) { return answer(s), nil }}
}

// event makes a command without data or answer.
func event(do func(s *Switcher) error) *command {
	return &command{run: func(s *Switcher, _ []datum) (string, error) { return "", do(s) }}
}

// register makes a command that sets a register from one whole number.
func register(highest int, set func(s *Switcher, value int)) *command {
	return &command{least: 1, most: 1, run: func(s *Switcher, data []datum) (string, error) {
		value, err := data[0].integer(0, highest)
		if err == nil {
			set(s, value)
		}
		return "", err
	}}
}

// tree is every header but the common commands; nobody changes it.
var tree = newTree(systemCommands, statusCommands, routeCommands)

func newTree(tables ...map[string]*command) *node {
	root := &node{}
	for _, table := range tables {
		for pattern, c := range table {
			root.add(pattern, c)
		}
	}
	return root
}

// find is the command that a unit's header means from a level of the tree, and
// the level for the unit after it.
func find(u unit, level *node) (*command, *node, error) {
	if u.common {
		// A common command leaves the level alone (SCPI-1999, vol. 1, 6.2.4).
		if c, ok := commonCommands[strings.ToUpper(u.header())]; ok {
			return c, level, nil
		}
		return nil, nil, fault{undefinedHeader, u.header()}
	}
	if u.rooted {
		level = tree
	}
	end, next, err := level.walk(u.path)
	if err != nil {
		return nil, nil, err
	}
	if end != nil {
		if c := end.command(u.query); c != nil {
			return c, next, nil
		}
	}
	return nil, nil, fault{undefinedHeader, u.header()}
}
