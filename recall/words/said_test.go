package words

import "testing"

func TestSaid(t *testing.T) {
	w := room(t)
	for sentence, want := range map[string]string{
		"frees main/t3": "frees main 3 top",
		"blocks organ/out1 -> squeeze/in1, and more":            "blocks organ left -> compressor in 1, and more",
		"removes far/t7 -> interface/ins1.return.":              "removes Far wall a7 -> interface insert 1 return.",
		"(main/t40-43), main/b1-3,5-6, main/b2,4 and far/t1-2.": "(main 40-43 top), main 1-3,5-6 bottom, main 2,4 bottom and Far wall a1-2.",
		// What is no place of the studio stays, and ports that have labels.
		"desk/out1, sessions/main.yaml, organ/out1-2 and grid/x.yaml": "desk/out1, sessions/main.yaml, organ/out1-2 and grid/x.yaml",
		"main\x1b/t3": "main\uFFFD/t3",
		"":            "",
		// What is to be typed stays as it is typed.
		"pull main/t3; write `allow: [loop main/t3]`, main/t4": "pull main 3 top; write `allow: [loop main/t3]`, main 4 top",
		"main/t3`main/t4": "main 3 top`main 4 top",
	} {
		if got := w.Said(sentence); got != want {
			t.Errorf("%q is %q, want %q", sentence, got, want)
		}
	}
}
