package main

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/systeminfo"
	"github.com/chromedp/chromedp"

	"isthmus/web/browser"
)

// A memory is what the processes that draw pages took over the page without a
// film, in MB: at most, and after the film was left. On systems that do not
// tell it in /proc it stays empty.
type memory struct{ base, most, left []float64 }

// begin forgets the greatest size so far and returns the size now.
func (m *memory) begin(p *browser.Phone) float64 {
	for _, pid := range renderers(p) {
		_ = os.WriteFile(fmt.Sprintf("/proc/%d/clear_refs", pid), []byte("5"), 0) // without it the peak before counts too
	}
	now := size(p, "VmRSS:")
	if now > 0 {
		m.base = append(m.base, now)
	}
	return now
}

func (m *memory) peak(p *browser.Phone, before float64) {
	if before > 0 {
		m.most = append(m.most, size(p, "VmHWM:")-before)
	}
}

// after waits a little, as memory is given back when the browser has time.
func (m *memory) after(p *browser.Phone, before float64) {
	if before > 0 {
		time.Sleep(5 * time.Second)
		m.left = append(m.left, size(p, "VmRSS:")-before)
	}
}

// print prints them, against a budget if there is one.
func (m *memory) print(b budget) {
	if len(m.most) == 0 || len(m.left) == 0 {
		fmt.Println("  memory: this system does not tell it")
		return
	}
	verdict := ""
	if b.limit > 0 {
		verdict = b.verdict(rangeOf(m.most).median, 0)
	}
	fmt.Printf("  %-56s %22s\n", "  memory without a film, MB", text(m.base))
	fmt.Printf("  %-56s %22s  %s\n", "  over it, at most", text(m.most), verdict)
	fmt.Printf("  %-56s %22s\n", "  over it, 5 s after the worker was ended or the film left", text(m.left))
}

// renderers are the processes that run pages and their workers.
func renderers(p *browser.Phone) []int {
	ctx, cancel := context.WithTimeout(p.Context(), browser.Patience)
	defer cancel()
	got, err := chromedp.CallBrowser(ctx, systeminfo.GetProcessInfo, cdp.Empty{})
	if err != nil {
		return nil
	}
	var pids []int
	for _, q := range got.ProcessInfo {
		if q.Type == "renderer" {
			pids = append(pids, int(q.ID))
		}
	}
	return pids
}

// size adds a line of /proc/…/status over the renderers, in MB.
func size(p *browser.Phone, line string) float64 {
	total := 0.0
	for _, pid := range renderers(p) {
		b, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
		if err != nil {
			continue
		}
		total += statusMB(string(b), line)
	}
	return total
}

// statusMB returns a line of /proc/…/status in MB, 0 when it is not there.
func statusMB(status, line string) float64 {
	_, rest, ok := strings.Cut("\n"+status, "\n"+line)
	f := strings.Fields(rest)
	if !ok || len(f) == 0 {
		return 0
	}
	kB, err := strconv.ParseFloat(f[0], 64)
	if err != nil {
		return 0
	}
	return kB * 1024 / 1e6
}
