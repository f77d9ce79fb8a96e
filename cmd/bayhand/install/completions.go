package install

import (
	"bytes"

	"github.com/spf13/cobra"
)

// completions adds the scripts by which shells complete commands, where each
// shell looks for them.
func completions(root *cobra.Command, files map[string][]byte) error {
	var bash, zsh, fish bytes.Buffer
	if err := root.GenBashCompletionV2(&bash, true); err != nil {
		return err
	}
	if err := root.GenZshCompletion(&zsh); err != nil {
		return err
	}
	if err := root.GenFishCompletion(&fish, true); err != nil {
		return err
	}
	files["usr/share/bash-completion/completions/bayhand"] = bash.Bytes()
	files["usr/share/zsh/vendor-completions/_bayhand"] = zsh.Bytes()
	files["usr/share/fish/vendor_completions.d/bayhand.fish"] = fish.Bytes()
	return nil
}
