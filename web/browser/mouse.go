package browser

import (
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

func (p *Phone) mouse(e input.DispatchMouseEventParams) error {
	ctx, cancel := p.limited()
	defer cancel()
	_, err := chromedp.Call(ctx, input.DispatchMouseEvent, e)
	return err
}

// Click moves a mouse to a spot and clicks its main button.
func (p *Phone) Click(at Spot) error { return p.MouseDrag(at) }

// MouseDrag presses the main button of a mouse at the first spot, moves it
// through the others and lets it go at the last.
func (p *Phone) MouseDrag(path ...Spot) error {
	send := func(kind input.DispatchMouseEventType, at Spot, buttons int64) error {
		e := input.DispatchMouseEventParams{Type: kind, X: at.X, Y: at.Y, Buttons: buttons}
		if kind != input.DispatchMouseEventTypeMouseMoved {
			e.Button, e.ClickCount = input.MouseButtonLeft, 1
		}
		time.Sleep(16 * time.Millisecond) // a screen's frame
		return p.mouse(e)
	}
	for i, at := range path {
		if i == 0 {
			if err := send(input.DispatchMouseEventTypeMouseMoved, at, 0); err != nil {
				return err
			}
			if err := send(input.DispatchMouseEventTypeMousePressed, at, 1); err != nil {
				return err
			}
			continue
		}
		if err := send(input.DispatchMouseEventTypeMouseMoved, at, 1); err != nil {
			return err
		}
	}
	return send(input.DispatchMouseEventTypeMouseReleased, path[len(path)-1], 0)
}

// Wheel turns the wheel of a mouse at a spot; down is positive.
func (p *Phone) Wheel(at Spot, down float64) error {
	return p.mouse(input.DispatchMouseEventParams{Type: input.DispatchMouseEventTypeMouseWheel, X: at.X, Y: at.Y, DeltaX: 1e-3, DeltaY: down}) // both must be there
}

// Key presses a key by its name and lets it go; ctrl holds Control meanwhile.
func (p *Phone) Key(name string, ctrl bool) error {
	e := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: name}
	if ctrl {
		e.Modifiers = 2
	}
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeKeyDown, input.DispatchKeyEventTypeKeyUp} {
		e.Type = kind
		ctx, cancel := p.limited()
		_, err := chromedp.Call(ctx, input.DispatchKeyEvent, e)
		cancel()
		if err != nil {
			return err
		}
	}
	return nil
}
