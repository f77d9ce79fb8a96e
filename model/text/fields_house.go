package text

// HouseFields are the fields of a house file.
func HouseFields() Table { return houseFields }

var hostFields = Table{Name: "a host", Fields: []Field{
	{Key: "page", Kind: Text, Form: `"http://north:7420"`, Help: "the address of its page, for screens elsewhere"},
	{Key: "rooms", Kind: Texts, Form: "[live, mix]", Help: "the rooms that it keeps"},
	{Key: "lines", Kind: Texts, Form: "[grid]", Help: "the matrices connected to it; nobody else drives them"},
	{Key: "stand-by", Kind: Texts, Form: "[grid]", Help: "matrices of other hosts on a line over the network (rfc2217: with clients=), which it drives when their host is gone"},
}}

var certificateFields = Table{Name: "the certificates", Fields: []Field{
	{Key: "authority", Kind: Text, Form: "authority.pem", Help: "who has signed the servers' certificates"},
	{Key: "own", Kind: Text, Form: "host.pem", Help: "the certificate that a host shows to the servers"},
	{Key: "key", Kind: Text, Form: "host.key", Help: "its private key"},
}}

var houseFields = Table{Name: "a house file", Fields: []Field{
	{Key: "house", Kind: Text, Required: true, Form: "Heron Boathouse", Help: "its name; the table of shared lines is kept under it"},
	{Key: "servers", Kind: Texts, Form: `["http://north:2379"]`, Help: "one or three servers of etcd that keep the table; left out where there is one host"},
	{Key: "certificates", Kind: Record, Of: &certificateFields, Help: "files for servers at https addresses"},
	{Key: "hosts", Kind: Records, Of: &hostFields, Required: true, Form: "{north: {rooms: [live], lines: [grid]}}", Help: "the machines on which a daemon runs"},
}}
