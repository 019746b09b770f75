package main

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"ovenward/store/storetest"
)

// threeYears is a data folder in which a bakery has worked for three years, and
// the day that is under way.
func threeYears(b *testing.B) (dir string) {
	b.Helper()
	dir = b.TempDir()
	storetest.Years(b, dir, clock())
	return dir
}

const underWay = "/days/1000"

// From the start to the first page, and to the end.
func BenchmarkStart(b *testing.B) {
	dir := threeYears(b)
	b.ReportAllocs()
	for b.Loop() {
		r := start(b, dir)
		visit(b, http.DefaultClient, r.base+"/")
		r.wait(b)
	}
}

// The page at the bench, over loopback, asked for by several at once.
func BenchmarkNowPage(b *testing.B) {
	r := start(b, threeYears(b))
	b.ReportAllocs()
	b.ResetTimer()
	b.RunParallel(func(pb *testing.PB) {
		var c http.Client
		for pb.Next() {
			visit(b, &c, r.base+underWay+"/now")
		}
	})
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "pages/s")
	r.wait(b)
}

// A tap at the bench, answered when it is on disk.
func BenchmarkTap(b *testing.B) {
	r := start(b, threeYears(b))
	tap := tapper(b, r.base)
	b.ReportAllocs()
	for b.Loop() {
		tap()
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "taps/s")
	r.wait(b)
}

// From a tap until two hundred open pages know of it.
func BenchmarkStreams(b *testing.B) {
	const pages = 200
	r := start(b, threeYears(b))
	tap := tapper(b, r.base)
	heard := make(chan struct{}, pages)
	var open sync.WaitGroup
	for range pages {
		open.Add(1)
		go func() {
			res, err := http.Get(r.base + "/events")
			open.Done()
			if err != nil {
				b.Error(err)
				return
			}
			defer res.Body.Close()
			for lines := bufio.NewScanner(res.Body); lines.Scan(); {
				if lines.Text() == "event: tap" {
					heard <- struct{}{}
				}
			}
		}()
	}
	open.Wait()
	for b.Loop() {
		tap()
		for range pages {
			<-heard
		}
	}
	r.wait(b)
}

func visit(b *testing.B, c *http.Client, address string) {
	res, err := c.Get(address)
	if err != nil {
		b.Error(err)
		return
	}
	defer res.Body.Close()
	if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != http.StatusOK {
		b.Errorf("%s: %s, %v", address, res.Status, err)
	}
}

// tapper gives a tap that acknowledges a task of the day under way.
func tapper(b *testing.B, base string) func() {
	c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	var n atomic.Int64
	return func() {
		form := url.Values{"key": {fmt.Sprint("bench-", n.Add(1))}, "version": {"1"}, "task": {"A.1"}, "kind": {"ack"}}
		res, err := c.PostForm(base+underWay+"/tap", form)
		if err != nil {
			b.Fatal(err)
		}
		defer res.Body.Close()
		if page, _ := io.ReadAll(res.Body); res.StatusCode != http.StatusSeeOther {
			b.Fatalf("%s: %.300s", res.Status, strings.TrimSpace(string(page)))
		}
	}
}
