package ports

// notFound is a device that is not there. The system's own words would say it again.
type notFound struct{ err error }

func (n notFound) Error() string { return "not found. Check the cable; `bayhand links` lists ports" }
func (n notFound) Unwrap() error { return n.err }

// NotFound says of a device that it is not there, and what to do; err is what the system says.
func NotFound(err error) error { return notFound{err} }
