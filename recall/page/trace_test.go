package page

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/tracing"
	"github.com/chromedp/chromedp"
)

// traceEvent is one of the browser's own trace (Trace Event Format): a complete event
// with its duration and that in time of the processor, in microseconds, or a thread's
// name.
type traceEvent struct {
	Name string  `json:"name"`
	Kind string  `json:"ph"`
	Pid  int     `json:"pid"`
	Tid  int     `json:"tid"`
	Dur  float64 `json:"dur"`
	TDur float64 `json:"tdur"`
	Args struct {
		Name string `json:"name"`
	} `json:"args"`
}

// traced is how long the main threads of pages were at work meanwhile, in milliseconds
// of processor time. The browser is one, so no other test may run beside.
func (v *visitor) traced(do func()) float64 {
	v.t.Helper()
	var events []traceEvent
	ended := make(chan struct{})
	ctx, stop := context.WithCancel(v.ctx)
	defer stop()
	v.must(chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *tracing.EventDataCollected:
			for _, one := range e.Value {
				var is traceEvent
				if json.Unmarshal(one, &is) == nil {
					events = append(events, is)
				}
			}
		case *tracing.EventTracingComplete:
			if ctx.Err() == nil {
				close(ended)
			}
		}
	}))
	command(v.t, v.ctx, tracing.Start, tracing.StartParams{TransferMode: tracing.StartTransferModeReportEvents, TraceConfig: &tracing.TraceConfig{IncludedCategories: []string{"toplevel", "__metadata"}}})
	do()
	command(v.t, v.ctx, tracing.End, cdp.Empty{})
	select {
	case <-ended:
	case <-v.ctx.Done():
		v.t.Fatal("the trace never ended")
	}
	return mainThread(events)
}

// mainThread is the time that the main threads of renderers ran tasks.
func mainThread(events []traceEvent) (ms float64) {
	main := map[[2]int]bool{}
	for _, e := range events {
		if e.Name == "thread_name" && e.Args.Name == "CrRendererMain" {
			main[[2]int{e.Pid, e.Tid}] = true
		}
	}
	for _, e := range events {
		if e.Kind == "X" && main[[2]int{e.Pid, e.Tid}] && strings.HasSuffix(e.Name, "RunTask") {
			ms += max(e.TDur, 0) / 1000
		}
	}
	return ms
}

func TestMainThreadOfATrace(t *testing.T) {
	var events []traceEvent
	if err := json.Unmarshal([]byte(`[
		{"name": "thread_name", "ph": "M", "pid": 7, "tid": 1, "args": {"name": "CrRendererMain"}},
		{"name": "thread_name", "ph": "M", "pid": 7, "tid": 2, "args": {"name": "Compositor"}},
		{"name": "ThreadControllerImpl::RunTask", "ph": "X", "pid": 7, "tid": 1, "dur": 9000, "tdur": 2500},
		{"name": "ThreadControllerImpl::RunTask", "ph": "X", "pid": 7, "tid": 2, "dur": 9000, "tdur": 9000},
		{"name": "another", "ph": "X", "pid": 7, "tid": 1, "tdur": 2000}]`), &events); err != nil {
		t.Fatal(err)
	}
	if got := mainThread(events); got != 2.5 {
		t.Errorf("the main thread was at work for %v ms", got)
	}
}
