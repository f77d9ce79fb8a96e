package main

import "fmt"

// plural counts things: "1 error", "2 errors".
func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
