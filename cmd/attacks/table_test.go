package attacks_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// row is an attack: what is done, how often in an ordinary run, what must come of it,
// and the tests that do it, by their packages.
type row struct {
	attack, times, outcome string
	tests                  []string
}

// table is every attack on any part of the project. It stands in README.md beside this file.
var table = []row{
	{"several inputs at one output of relays", "each order", "ends as asked, told once", []string{
		"recall/keep TestOutputWithSeveralInputs",
	}},
	{"a device is silent while something is taken", "each act", "taken, and the device told apart", []string{
		"recall/page TestTakenWithASilentMatrix",
		"recall/serve TestStatusComesWithTheError",
		"recall/keep TestGoneMidPushAndBack",
		"recall/keep TestSilentDeviceHoldsUpNobody",
	}},
	{"a full disk while a matrix is restored", "each write", "never said to be restored", []string{
		"recall/keep TestNotPutBackOnAFullDisk",
		"recall/keep TestFullJournalStopsEverything",
		"recall/journal TestFullDisk",
	}},
	{"another device at the link", "1 exchange", "not driven until a person says so", []string{
		"recall/keep TestAnotherDeviceIsNotDrivenUnasked",
		"recall/keep TestReplacedDeviceIsDriven",
	}},
	{"half a saved file", "0.7 s between the halves", "no crosspoint opens; most of a room asks first", []string{
		"cmd/attacks TestHalfSavedFile",
		"recall/watch TestHalfOpenFileIsNotLookedAt",
		"recall/watch TestHalfSavedFileWaitsWithoutEvents",
		"cmd/bayhand TestHalfSavedFileIsWaitedFor",
		"recall/keep TestAFileThatTakesMostAsksFirst",
	}},
	{"pipes, sockets, devices, links to nothing, a terabyte among the sessions", "8 kinds", "told and passed at once", []string{
		"recall/disk TestWhatIsNoFileIsToldAtOnce",
		"recall/files TestOddFilesAmongSessions",
	}},
	{"a file system that does not answer", "10,000 files", "one wait of 3 s, what was read last holds, SIGTERM ends", []string{
		"cmd/attacks TestStalledFile",
		"recall/disk TestFolderStalls",
		"recall/disk TestManyStall",
		"recall/watch TestRunEndsWhateverHangs",
		"recall/keep TestAStalledDiskHoldsUpNobody",
		"recall/keep TestEndsWhileFilesHang",
	}},
	{"a wrong file of 1.1 MB", "2 shapes", "a hundred mistakes told, the rest counted, excerpts share the file", []string{
		"model/text TestWrongFileCostsLittle",
		"model/text TestMistakesAreCounted",
		"model/text TestHostileFilesEnd",
		"cmd/bayhand TestPageKeepsLittleOfWrongFiles",
	}},
	{"large histories, many viewers", "40 viewers", "read by pages, a way worked out once, streams bounded", []string{
		"recall/journal TestNewestFirst",
		"recall/page TestOneWayForAllWhoLook",
		"recall/serve TestStreamsAreBounded",
		"recall/serve TestStreamsOfThePageAreBounded",
		"recall/page TestChangesAreBounded",
		"recall/serve TestLongHistoryIsStreamed",
	}},
	{"somebody prunes the history", "1 pruning", "it is an event itself, with who did it", []string{
		"recall/serve TestHistory",
	}},
	{"a take that is recorded beside the files, thousands of sessions", "100 writes", "no look is delayed, what changed is read", []string{
		"recall/watch TestOtherFilesAreNotFollowed",
		"recall/watch TestChangesWithoutPause",
		"recall/page TestThousandsOfSessions",
		"cmd/attacks TestThousandsOfSessions",
	}},
	{"a serial line over the network that floods", "64 MB", "given up, nothing kept", []string{
		"cmd/attacks TestSerialServerFloods",
		"simulators/scpi TestFloods",
	}},
	{"a patch is kept in a file of another's, or with two names", "6 kinds", "owner, group, mode, attributes and names stay; whole or not at all", []string{
		"recall/disk TestReplacedFileStaysItsAuthors",
		"recall/disk TestAttributesAreKept",
		"recall/disk TestWritingInPlaceLosesNothing",
		"recall/files TestKeepPatchLosesNoEdit",
	}},
	{"bits flipped, pages of another size, an empty or older journal", "each bit of structure", "refused and kept, or what is lost is said", []string{
		"recall/journal TestEachFlippedBitOfStructure",
		"recall/journal TestPagesOfAnotherSize",
		"recall/journal TestOlderCopyIsNotTaken",
		"recall/journal TestReadOnly",
		"recall/journal TestChainHolds",
		"recall/journal TestSalvage",
		"recall/journal TestBackUp",
	}},
	{"kills and power cuts", "2,100 points in CI", "what was acknowledged is there", []string{
		"recall/keep TestKilledAtAnyPoint",
		"recall/keep TestRestartAtEveryWrite",
		"recall/page TestDaemonKilled",
	}},
	{"a session that is called rest", "6 names", "refused, or said", []string{
		"recall/files TestOddFilesAmongSessions",
	}},
	{"connections that say nothing, requests of other sites by the thousand", "650 connections, 100 requests", "the oldest are closed, others are answered", []string{
		"recall/serve TestConnectionsAreBounded",
		"recall/serve TestForeignRequestsAreCounted",
	}},
	{"another user of the machine, another name, another port", "each door", "nothing opens, who did it is who was let in", []string{
		"recall/serve TestStrangerHere",
		"cmd/attacks TestAnotherUserOfTheMachine",
		"recall/serve TestNobodyActsInAnotherName",
		"recall/serve TestCookieOfAnotherUser",
		"recall/serve TestRoles",
	}},
	{"a page of another site or port in the browser of who is let in, a name pointed here", "13 ways to read, 46 to write, 3 origins", "nothing is read, followed, framed or changed", []string{
		"cmd/attacks TestHostilePageInTheSameBrowser",
		"recall/serve TestWhatABrowserIsTold",
	}},
	{"another machine of the network", "181 requests, 1 cookie, each port", "nothing opens; on this machine only, nothing answers", []string{
		"cmd/attacks TestAnotherMachineOfTheNetwork",
	}},
	{"a token taken out, a proof replayed, a renewed certificate, a way to another site", "each", "closed at once", []string{
		"recall/serve TestTokenTakenOut",
		"recall/serve TestProofIsNotRepeated",
		"recall/serve TestRenewedCertificate",
		"recall/serve TestNoWayToAnotherSite",
	}},
	{"an invitation in a browser", "1 browser", "accepted there", []string{
		"recall/serve TestBrowserAcceptsAnInvitation",
	}},
	{"a system without watches left", "1 refusal", "looks every few seconds, and says so", []string{
		"recall/watch TestNoWatchesLeft",
	}},
	{"a channel range that runs downward", "each corner", "the rectangle in the order written", []string{
		"simulators/scpi TestRangesRunDownward",
	}},
	{"devices that answer late, half, never, twice, spoilt", "1,000 runs each kind", "what is \"read back\" is true", []string{
		"drivers/conformance TestFaults",
		"drivers/conformance TestStrangers",
	}},
	{"all at once: devices, requests, streams, files, a kill", "3 s, or BAYHAND_ATTACKS", "answers, less than 512 MB, what was taken is there", []string{
		"cmd/attacks TestAllAtOnce",
	}},
}

// README.md has the table as it is here, and each test that it names is there.
func TestTable(t *testing.T) {
	guide, err := os.ReadFile("README.md")
	must(t, err)
	for _, r := range table {
		var names []string
		for _, test := range r.tests {
			folder, name, _ := strings.Cut(test, " ")
			if !isTest(t, folder, name) {
				t.Errorf("%s has no test %s", folder, name)
			}
			names = append(names, "`"+name+"`")
		}
		if line := fmt.Sprintf("| %s | %s | %s | %s |", r.attack, r.times, r.outcome, strings.Join(names, ", ")); !strings.Contains(string(guide), line+"\n") {
			t.Errorf("README.md lacks\n%s", line)
		}
	}
}

// isTest says whether the tests of a folder have one of that name.
func isTest(t *testing.T, folder, name string) bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", filepath.FromSlash(folder), "*_test.go"))
	must(t, err)
	wanted := regexp.MustCompile(`(?m)^func ` + name + `\(t \*testing\.T\)`)
	for _, file := range files {
		src, err := os.ReadFile(file)
		must(t, err)
		if wanted.Match(src) {
			return true
		}
	}
	return false
}
