package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// takeIdle is a phone that a test before has handed back, nil for none.
func takeIdle() context.Context {
	running.Lock()
	defer running.Unlock()
	n := len(running.idle)
	if n == 0 {
		return nil
	}
	ctx := running.idle[n-1]
	running.idle = running.idle[:n-1]
	return ctx
}

// handBack lets another test have the phone, as if it were new: to begin one takes longer than
// most tests. What it keeps beside cookies belongs to an address, and each test has its own.
func (p *Phone) handBack() {
	err := chromedp.Do(p.ctx, chromedp.Navigate("about:blank"),
		chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			for _, id := range p.before {
				if _, err := cdp.Call(ctx, t, page.RemoveScriptToEvaluateOnNewDocument,
					page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: id}); err != nil {
					return err
				}
			}
			_, err := cdp.Call(ctx, t, network.ClearBrowserCookies, cdp.Empty{})
			return err
		}))
	if err != nil || p.spent || p.t.Failed() {
		_ = chromedp.Cancel(p.ctx)
		return
	}
	running.Lock()
	defer running.Unlock()
	running.idle = append(running.idle, p.ctx)
}
