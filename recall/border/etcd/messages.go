package etcd

import "encoding/json"

// The messages of the gateway, as far as they are used
// (https://etcd.io/docs/v3.4/dev-guide/api_reference_v3/). Keys and values are bytes,
// which JSON has in base64; 64-bit numbers are texts.

type header struct {
	Cluster  uint64 `json:"cluster_id,string"`
	Revision uint64 `json:"revision,string"`
}

// status is the answer of one server to how it is.
type status struct {
	Header header `json:"header"`
}

func (a *status) cluster() uint64      { return a.Header.Cluster }
func (a *rangeAnswer) cluster() uint64 { return a.Header.Cluster }
func (a *outcome) cluster() uint64     { return a.Header.Cluster }

type pair struct {
	Key   []byte `json:"key"`
	Value []byte `json:"value"`
	Mod   uint64 `json:"mod_revision,string"`
}

type rangeQuestion struct {
	Key []byte `json:"key"`
	End []byte `json:"range_end,omitempty"`
	// Serializable is true where a server answers by itself.
	Serializable bool `json:"serializable,omitempty"`
}

type rangeAnswer struct {
	Header header `json:"header"`
	Pairs  []pair `json:"kvs"`
}

type putQuestion struct {
	Key   []byte `json:"key"`
	Value []byte `json:"value"`
	Lease int64  `json:"lease,string,omitempty"`
}

type deleteQuestion struct {
	Key []byte `json:"key"`
}

// leaseQuestion asks for a lease of some seconds, or about one.
type leaseQuestion struct {
	TTL int64 `json:"TTL,string,omitempty"`
	ID  int64 `json:"ID,string,omitempty"`
}

type leaseAnswer struct {
	Header header `json:"header"`
	ID     int64  `json:"ID,string"`
	TTL    int64  `json:"TTL,string"`
}

// renewed is the answer to a renewal, without a TTL where the lease is over.
type renewed struct {
	Result leaseAnswer `json:"result"`
}

func (a *leaseAnswer) cluster() uint64 { return a.Header.Cluster }
func (a *renewed) cluster() uint64     { return a.Result.Header.Cluster }

type comparison struct {
	Key    []byte `json:"key"`
	Target string `json:"target"`
	Result string `json:"result"`
	Mod    uint64 `json:"mod_revision,string"`
}

// unchanged holds where a key was changed last at a revision; 0 for one that is not
// there.
func unchanged(key string, mod uint64) comparison {
	return comparison{Key: []byte(key), Target: "MOD", Result: "EQUAL", Mod: mod}
}

type operation struct {
	Put    *putQuestion    `json:"request_put,omitempty"`
	Delete *deleteQuestion `json:"request_delete_range,omitempty"`
	Range  *rangeQuestion  `json:"request_range,omitempty"`
}

type transaction struct {
	Compare []comparison `json:"compare"`
	Success []operation  `json:"success"`
	Failure []operation  `json:"failure"`
}

type outcome struct {
	Header    header `json:"header"`
	Succeeded bool   `json:"succeeded"`
	Responses []struct {
		Range *rangeAnswer `json:"response_range"`
	} `json:"responses"`
}

type watchQuestion struct {
	Create struct {
		Key   []byte `json:"key"`
		End   []byte `json:"range_end"`
		Start uint64 `json:"start_revision,string"`
	} `json:"create_request"`
}

type watchAnswer struct {
	Result struct {
		Header   header `json:"header"`
		Created  bool   `json:"created"`
		Canceled bool   `json:"canceled"`
		// Compacted is the oldest revision that is still there, where the one asked for
		// is not.
		Compacted uint64            `json:"compact_revision,string"`
		Events    []json.RawMessage `json:"events"`
	} `json:"result"`
	Error *refusal `json:"error"`
}
