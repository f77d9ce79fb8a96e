//go:build race

package main

// raced is true where this test is built with the race detector.
const raced = true
