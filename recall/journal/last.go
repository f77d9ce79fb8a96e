package journal

import (
	"fmt"
	"hash/crc32"
	"os"
)

// lastEnding is the ending of the file that says how often the journal was
// written. It is written after the journal is on the disk, in one piece of less
// than a sector, and not waited for: it may tell of fewer writes than there were,
// never of more. A journal with fewer than it tells of is not the newest.
const lastEnding = ".last"

// castagnoli is the polynomial of RFC 3720, 12.1: its sums find every burst of
// errors of up to 32 bits, as those of any polynomial of that degree.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

func lastText(writes uint64) string {
	number := fmt.Sprintf("%020d", writes)
	return fmt.Sprintf("%s %08x\n", number, crc32.Checksum([]byte(number), castagnoli))
}

// writeLast says how often the journal was written. Where it cannot be written,
// less is known at the next start, and nothing is wrong.
func writeLast(file string, writes uint64) {
	f, err := os.OpenFile(file+lastEnding, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return
	}
	defer f.Close()
	_, _ = f.WriteAt([]byte(lastText(writes)), 0)
}

// readLast is how often the journal was written, as far as that is known.
func readLast(file string) (writes uint64, known bool) {
	text, err := os.ReadFile(file + lastEnding)
	if err != nil {
		return 0, false
	}
	if _, err := fmt.Sscanf(string(text), "%d ", &writes); err != nil || lastText(writes) != string(text) {
		return 0, false
	}
	return writes, true
}
