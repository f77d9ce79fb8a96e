package etcd

import (
	"net/http"
	"net/http/httptest"
	"testing"
)

func TestOptionsThatCannotBe(t *testing.T) {
	for _, o := range []Options{
		{}, {House: "h"}, {Servers: []string{"http://a:1"}},
		{House: "h", Servers: []string{"a:1"}}, {House: "h", Servers: []string{"ftp://a"}}, {House: "h", Servers: []string{"http://"}},
	} {
		if _, err := New(o); err == nil {
			t.Errorf("%+v is taken", o)
		}
	}
}

// serving is the address of a server that is no cluster's.
func serving(t testing.TB, h http.Handler) string {
	s := httptest.NewServer(h)
	t.Cleanup(s.Close)
	return s.URL
}

func answering(text string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte(text)) })
}
