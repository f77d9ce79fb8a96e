package journal

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash/crc32"
)

// The pages of the file have no sums of their own: a flipped bit in a value
// would be read as another jack. So each value begins with the sum of its JSON.

// castagnoli is the polynomial of RFC 3720, 12.1: its sums find every burst of
// errors of up to 32 bits, as those of any polynomial of that degree.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

var errSum = errors.New("a value does not have its sum")

func seal(value any) ([]byte, error) {
	text, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return sealText(text), nil
}

func sealText(text []byte) []byte {
	sum := binary.BigEndian.AppendUint32(make([]byte, 0, 4+len(text)), crc32.Checksum(text, castagnoli))
	return append(sum, text...)
}

func unseal(sealed []byte, into any) error {
	text := sealedText(sealed)
	if text == nil {
		return errSum
	}
	return json.Unmarshal(text, into)
}
