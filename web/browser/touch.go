package browser

import (
	"fmt"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// A Spot is a place on the screen, in CSS pixels from its top left corner.
type Spot struct{ X, Y float64 }

// touch sends one event of one finger.
func (p *Phone) touch(kind input.DispatchTouchEventType, at ...Spot) error {
	ctx, cancel := p.limited()
	defer cancel()
	points := []*input.TouchPoint{}
	for i, s := range at {
		points = append(points, &input.TouchPoint{
			X: s.X, Y: s.Y, RadiusX: new(12.0), RadiusY: new(12.0), Force: new(0.5), ID: new(float64(i)),
		})
	}
	_, err := chromedp.Call(ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	return err
}

// Tap touches the screen at one spot and lifts.
func (p *Phone) Tap(at Spot) error {
	if err := p.touch(input.DispatchTouchEventTypeTouchStart, at); err != nil {
		return err
	}
	return p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// Drag puts a finger down at the first spot, moves it through the others and
// lifts it at the last.
func (p *Phone) Drag(path ...Spot) error {
	for i, at := range path {
		kind := input.DispatchTouchEventTypeTouchMove
		if i == 0 {
			kind = input.DispatchTouchEventTypeTouchStart
		}
		if err := p.touch(kind, at); err != nil {
			return err
		}
		time.Sleep(16 * time.Millisecond) // a screen's frame: fingers do not jump
	}
	return p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// Pinch puts two fingers down at a and b and moves them to c and d.
func (p *Phone) Pinch(a, b, c, d Spot) error {
	if err := p.touch(input.DispatchTouchEventTypeTouchStart, a, b); err != nil {
		return err
	}
	const steps = 8
	for i := 1; i <= steps; i++ {
		t := float64(i) / steps
		between := func(from, to Spot) Spot {
			return Spot{from.X + (to.X-from.X)*t, from.Y + (to.Y-from.Y)*t}
		}
		if err := p.touch(input.DispatchTouchEventTypeTouchMove, between(a, c), between(b, d)); err != nil {
			return err
		}
		time.Sleep(16 * time.Millisecond)
	}
	return p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// finder returns the element that an expression names, scrolled into view, not
// covered and at rest, as the middle of what can be touched; or why not.
const finder = `(async () => {
  const find = () => %s;
  let why = "not there";
  for (let i = 0; i < 400; i++) {
    const e = find();
    if (e && e.disabled) why = "disabled";
    else if (e) {
      e.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
      const r = e.getBoundingClientRect();
      const x = r.left + r.width / 2, y = r.top + r.height / 2;
      const top = document.elementFromPoint(x, y);
      const label = top && top.closest("label");
      if (r.width > 0 && r.height > 0 && top && (e === top || e.contains(top) || (label && label.contains(e)))) {
        await new Promise((go) => setTimeout(go, 40)); // nobody aims at what still moves
        const now = find(), q = now && now.getBoundingClientRect();
        if (now === e && Math.abs(q.left - r.left) < 1 && Math.abs(q.top - r.top) < 1) return { x, y, why: "" };
        why = "moving";
        continue;
      }
      why = r.width > 0 ? "covered by " + (top ? top.outerHTML.slice(0, 120) : "nothing on the screen") : "of no size";
    }
    await new Promise((go) => setTimeout(go, 100));
  }
  return { x: 0, y: 0, why };
})()`

// byText is the element a person would touch for a text: the whole text or
// label of a control, or else the first control that holds it.
const byText = `(() => {
  const want = %q;
  const all = [...document.querySelectorAll("button, a[href], label, summary, option, input, select, textarea, [role=button], [role=tab], [role=radio], [role=checkbox], [tabindex]")]
    .filter((e) => e.getClientRects().length > 0);
  const words = (e) => (e.getAttribute("aria-label") || e.innerText || e.value || "").replace(/\s+/g, " ").trim();
  return all.find((e) => words(e) === want) || all.find((e) => words(e).includes(want));
})()`

// An UntouchableError reports a control that a finger cannot reach.
type UntouchableError struct{ What, Why string }

// Code names the fault.
func (e *UntouchableError) Code() string { return "browser-untouchable" }

func (e *UntouchableError) Error() string {
	return fmt.Sprintf("browser: cannot touch %s: it is %s", e.What, e.Why)
}

func (p *Phone) spot(what, expression string) (Spot, error) {
	got, err := Eval[struct {
		X, Y float64
		Why  string
	}](p, fmt.Sprintf(finder, expression))
	if err != nil {
		return Spot{}, err
	}
	if got.Why != "" {
		return Spot{}, &UntouchableError{What: what, Why: got.Why}
	}
	return Spot{got.X, got.Y}, nil
}

// Where returns the middle of the first element that a CSS selector finds. It
// waits for it, scrolls to it, and refuses one that something covers.
func (p *Phone) Where(selector string) (Spot, error) {
	return p.spot(selector, fmt.Sprintf("document.querySelector(%q)", selector))
}

// TapOn taps the first element that a CSS selector finds.
func (p *Phone) TapOn(selector string) error {
	at, err := p.Where(selector)
	if err != nil {
		return err
	}
	return p.Tap(at)
}

// TapText taps the control that says a text, or is labelled with it.
func (p *Phone) TapText(text string) error {
	at, err := p.spot(fmt.Sprintf("%q", text), fmt.Sprintf(byText, text))
	if err != nil {
		return err
	}
	return p.Tap(at)
}

// Type taps a field, empties it and types a text into it.
func (p *Phone) Type(selector, text string) error {
	if err := p.TapOn(selector); err != nil {
		return err
	}
	ctx, cancel := p.limited()
	defer cancel()
	if _, err := Eval[bool](p, fmt.Sprintf("(document.querySelector(%q).select(), true)", selector)); err != nil {
		return err
	}
	_, err := chromedp.Call(ctx, input.InsertText, input.InsertTextParams{Text: text})
	return err
}
