package browser

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/web/build"
)

// A place is one screen: where it is, its title, what is tapped to come to the
// part of it that is meant, and what then is true.
type place struct {
	path, title string
	tap         string
	shows       string
}

// tab is a place that is reached by one of the tabs of a screen.
func tab(path, title, key, value string) place {
	do := fmt.Sprintf(`[data-do="set|%s|%s"]`, key, value)
	return place{path, title, do, fmt.Sprintf(`document.querySelector('%s').getAttribute("aria-pressed") === "true"`, do)}
}

// places are all screens; home is the address of a case with its last film.
func places(home, label string, film int) []place {
	out := []place{
		{path: "/sizes", title: "Sizes"},
		tab("/sizes/head", "Head screw", "head.which", "lower"), tab("/sizes/head", "Head screw", "head.which", "upper"),
		tab("/sizes/wire", "Wire in the neck", "wire.what", "height"), tab("/sizes/wire", "Wire in the neck", "wire.what", "turn"), tab("/sizes/wire", "Wire in the neck", "wire.what", "hole"),
		tab("/sizes/tip", "Tip–apex distance", "tip.which", "upper"), tab("/sizes/tip", "Tip–apex distance", "tip.which", "lower"),
		tab("/sizes/nail", "Nail", "nail.how", "ruler"), tab("/sizes/nail", "Nail", "nail.how", "film"), tab("/sizes/nail", "Nail", "nail.how", "rods"),
		tab("/sizes/scale", "Magnification", "scale.how", "ruler"), tab("/sizes/scale", "Magnification", "scale.how", "distances"),
		tab("/sizes/scale", "Magnification", "scale.how", "usual"), tab("/sizes/scale", "Magnification", "scale.how", "balls"), tab("/sizes/scale", "Magnification", "scale.how", "marker"),
		{path: "/sizes/cap", title: "End cap"}, tab("/sizes/bow", "Bow of the nail", "bow.how", "radius"), tab("/sizes/bow", "Bow of the nail", "bow.how", "height"),
		tab("/sizes/distal", "Distal locking", "distal.what", "holes"), tab("/sizes/distal", "Distal locking", "distal.what", "tilt"), tab("/sizes/distal", "Distal locking", "distal.what", "screw"),
		tab("/sizes/turn", "Turn and length", "turn.what", "lesser"), tab("/sizes/turn", "Turn and length", "turn.what", "length"),
		tab("/sizes/turn", "Turn and length", "turn.what", "gap"), tab("/sizes/turn", "Turn and length", "turn.what", "arm"),
		tab("/sizes/union", "Union", "union.scale", "mrust"), tab("/sizes/union", "Union", "union.scale", "rust"),
		{path: "/cases", title: "Cases"}, {path: "/practice", title: "Practice"},
		{path: home, title: label},
		{path: home + "/injury", title: "Injury"}, {path: home + "/films", title: "Films"}, {path: home + "/bone", title: "Bone"},
		{path: home + "/nail", title: "Nail"}, {path: home + "/head", title: "Head"}, {path: home + "/distal", title: "Distal"},
		{path: home + "/kit", title: "Kit"}, {path: home + "/record", title: "Record"}, {path: home + "/after", title: "After"}, {path: home + "/removal", title: "Taking it out"},
		{path: home + "/nothing", title: "Not here"},
		{path: "/shelf", title: "Shelf"}, {path: "/shelf/nails", title: "Nails"}, {path: "/shelf/head-screws", title: "Head screws"},
		{path: "/shelf/locking-screws", title: "Locking screws"}, {path: "/shelf/end-caps", title: "End caps"},
		{path: "/shelf/reamers", title: "Reamer heads"}, {path: "/shelf/rods", title: "Rods and wires"},
		{path: "/about", title: "About"}, {path: "/methods", title: "Methods"}, {path: "/nothing", title: "Not here"},
	}
	for _, mode := range []string{"about", "scale", "points", "nail", "look"} {
		do := fmt.Sprintf(`[data-film="mode|%s"]`, mode)
		out = append(out, place{fmt.Sprintf("%s/film/%d", home, film), fmt.Sprintf("Film %d", film+1), do,
			fmt.Sprintf(`document.querySelector('%s').getAttribute("aria-pressed") === "true"`, do)})
	}
	return append(out, place{"/sizes/head", "Head screw", `[data-row="head.lower.depth"] .value, [data-row="head.upper.depth"] .value`, `document.querySelector(".pad")`})
}

// goTo brings a place on the screen.
func goTo(t *testing.T, p *Phone, at place) {
	t.Helper()
	eval[bool](t, p, fmt.Sprintf(`(goappNav(%q), true)`, at.path))
	must(t, p.Wait(fmt.Sprintf(`location.pathname === %q && document.querySelector("h1").innerText === %q`, at.path, at.title)))
	if at.tap != "" {
		must(t, p.TapOn(at.tap), p.Wait(at.shows))
	}
}

// explain opens every explanation: what it says must be readable too.
func explain(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.Wait(`(() => { document.querySelectorAll('[data-do^="why|"][aria-expanded=false]').forEach((e) => e.click());
		return !document.querySelector('[data-do^="why|"][aria-expanded=false]'); })()`))
}

// fits lists what is wider than the screen, outside what scrolls sideways by
// itself.
const fits = `(() => {
	const out = [];
	if (document.scrollingElement.scrollWidth > innerWidth) out.push("the page is " + document.scrollingElement.scrollWidth + " wide");
	const inside = (e) => { for (let a = e.parentElement; a; a = a.parentElement) if (/auto|scroll|hidden/.test(getComputedStyle(a).overflowX)) return true };
	for (const e of document.body.querySelectorAll("*")) {
		const r = e.getBoundingClientRect();
		if (r.width > 0 && (r.right > innerWidth + 0.5 || r.left < -0.5) && !e.closest("svg *") && !inside(e)) out.push(e.outerHTML.slice(0, 120));
	}
	return out;
})()`

// touchable lists the controls that are too small for a finger: less than 60
// CSS pixels both ways, or less than 44 one way. A file picker is the label
// over it.
const touchable = `[...document.querySelectorAll("button, a[href], input, select, textarea, summary, label.pick, [role=button]")]
	.filter((e) => e.getClientRects().length > 0 && !(e.matches("input") && e.closest("label.pick")))
	.map((e) => { const r = e.getBoundingClientRect(); return { e, w: Math.round(r.width * 10) / 10, h: Math.round(r.height * 10) / 10 } })
	.filter((c) => Math.max(c.w, c.h) < 60 || Math.min(c.w, c.h) < 44)
	.map((c) => c.w + " × " + c.h + ": " + c.e.outerHTML.slice(0, 140))`

// faint lists the texts with less contrast than 7 : 1 (WCAG 2.2, 1.4.6, AAA),
// large ones with less than 4.5 : 1. Behind a text lie the colours of all that
// it stands on, of a hatching the worst of its colours.
const faint = `(() => {
	const rgba = (s) => [...s.matchAll(/rgba?\(([^)]+)\)/g)].map((m) => { const v = m[1].split(/[ ,/]+/).map(Number); return v.length > 3 ? v : [...v, 1] });
	const over = (top, under) => top.slice(0, 3).map((v, i) => v * top[3] + under[i] * (1 - top[3]));
	const light = (c) => { const [r, g, b] = c.map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4 }); return 0.2126 * r + 0.7152 * g + 0.0722 * b };
	const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05) };
	const grounds = (e) => {
		const layers = [];
		for (let a = e; a; a = a.parentElement) {
			const s = getComputedStyle(a), solid = rgba(s.backgroundColor)[0], hatch = rgba(s.backgroundImage).filter((c) => c[3] > 0);
			layers.push({ solid, hatch });
			if (solid[3] === 1) break;
		}
		let all = [[255, 255, 255]];
		for (const l of layers.reverse()) {
			all = all.map((u) => over(l.solid, u));
			all = all.concat(...l.hatch.map((h) => all.map((u) => over(h, u))));
		}
		return all;
	};
	const out = new Set(), walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const e = walk.currentNode.parentElement, words = walk.currentNode.data.trim();
		if (!words || !e.getClientRects().length || e.closest("button:disabled, script, style, title, [hidden]")) continue;
		const s = getComputedStyle(e), drawn = e.closest("svg");
		if (s.visibility === "hidden") continue;
		const size = parseFloat(s.fontSize), large = size >= 24 || size >= 18.66 && s.fontWeight >= 700;
		const ink = rgba(drawn ? s.fill : s.color)[0];
		if (!ink) continue;
		const worst = Math.min(...grounds(drawn ? drawn.parentElement : e).map((g) => ratio(over(ink, g), g)));
		if (worst < (large ? 4.5 : 7)) out.add(worst.toFixed(1) + ": " + words.slice(0, 60) + " in " + e.outerHTML.slice(0, 80));
	}
	return [...out];
})()`

// Every screen, light and dark: nothing is wider than the phone, every control
// is large enough for a gloved finger, no rule of accessibility is broken, and
// in theatre's dark every text has the contrast of 7 : 1.
func TestEveryScreen(t *testing.T) {
	host := site(t)
	root, err := build.Root()
	must(t, err)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	must(t, p.Upload(`input[data-file="case-file"]`, filepath.Join(root, "testdata/versions/v1/neck-and-shaft.isthmus")), p.Wait(`document.querySelector(".sheet")`))
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	var film int
	at := eval[string](t, p, `location.pathname`)
	home, _, _ := strings.Cut(at, "/film/")
	_, err = fmt.Sscanf(strings.TrimPrefix(at, home), "/film/%d", &film)
	must(t, err)
	toCase(t, p, "")
	label := eval[string](t, p, `document.querySelector("h1").innerText`)
	fillSizes(t, p)
	fillCase(t, p, home)
	for _, look := range []string{"light", "dark"} {
		goTo(t, p, place{path: "/about", title: "About"})
		choose(t, p, "look", look)
		for _, at := range places(home, label, film) {
			goTo(t, p, at)
			explain(t, p)
			name := look + " " + strings.Replace(at.path, home, "/case", 1) + " " + at.tap
			for _, s := range eval[[]string](t, p, fits) {
				t.Errorf("%s: wider than the screen: %s", name, s)
			}
			for _, s := range eval[[]string](t, p, touchable) {
				t.Errorf("%s: too small for a finger: %s", name, s)
			}
			if look == "dark" { // the rest of the rules do not depend on the look
				for _, s := range eval[[]string](t, p, faint) {
					t.Errorf("%s: too faint: %s", name, s)
				}
				continue
			}
			for _, s := range accessibility(t, p) {
				t.Errorf("%s: not accessible: %s", name, s)
			}
		}
	}
	quiet(t, p)
}

// fillCase gives the screens of a case that come after the plan something to
// show: a depth, a turn, parts that were put in and found, a score of union.
func fillCase(t *testing.T, p *Phone, home string) {
	t.Helper()
	goTo(t, p, place{path: home + "/distal", title: "Distal"})
	enter(t, p, "hole1-depth", "43")
	choose(t, p, "hole1-bone", "yes")
	must(t, p.Wait(`document.querySelector("[data-answer=hole1] .part")?.innerText.startsWith("46")`)) // 43 and 2 more, up to stock: common practice
	goTo(t, p, place{path: home + "/after", title: "After"})
	for _, n := range [][2]string{{"turn-injured", "35"}, {"turn-injured-neck", "0"}, {"turn-sound", "14"}, {"turn-sound-neck", "0"}, {"length-injured", "430"}, {"length-sound", "447"}} {
		enter(t, p, n[0], n[1])
	}
	must(t, p.TapText("Score a film"))
	choose(t, p, "follow-scale", "rust")
	for _, side := range []string{"front", "back", "medial", "lateral"} {
		enter(t, p, "follow-"+side, "2")
	}
	must(t, p.TapText("Keep this score"), p.Wait(`document.querySelector("[data-do^='follow-drop|']")`))
	goTo(t, p, place{path: home + "/record", title: "Record"})
	choose(t, p, "implant-kind", "nail")
	enter(t, p, "implant-diameter", "11")
	enter(t, p, "implant-length", "400")
	must(t, p.TapText("Record it"), p.Wait(`document.querySelector("[data-do='implant-drop|0']")`), p.TapText("What was there before"))
	choose(t, p, "existing-kind", "plate")
	must(t, p.TapText("Add it"), p.Wait(`document.querySelector("[data-do='existing-drop|0']")`))
}

// fillSizes gives every calculator an answer, so that all it can draw is drawn.
func fillSizes(t *testing.T, p *Phone) {
	t.Helper()
	for _, of := range []struct {
		at      place
		numbers [][2]string
		answers [][2]string
	}{
		{tab("/sizes/head", "Head screw", "head.which", "lower"), [][2]string{{"head.lower.depth", "98"}}, [][2]string{{"head.lower.bone", "yes"}}},
		{tab("/sizes/wire", "Wire in the neck", "wire.what", "height"), [][2]string{{"wire.height.off", "5"}}, [][2]string{{"wire.height.way", "high"}, {"wire.leg", "left"}}},
		{tab("/sizes/wire", "Wire in the neck", "wire.what", "turn"), [][2]string{{"wire.turn.off", "4"}, {"wire.turn.reach", "73"}}, [][2]string{{"wire.turn.way", "front"}}},
		{tab("/sizes/wire", "Wire in the neck", "wire.what", "hole"), [][2]string{{"wire.hole.off", "5"}}, [][2]string{{"wire.hole.way", "forwards"}}},
		{tab("/sizes/tip", "Tip–apex distance", "tip.which", "lower"), [][2]string{{"tip.lower.ap", "13.8"}, {"tip.lower.apscrew", "9.2"}, {"tip.lower.lat", "15"}, {"tip.lower.latscrew", "10"}}, nil},
		{tab("/sizes/nail", "Nail", "nail.how", "rods"), [][2]string{{"nail.rod", "900"}, {"nail.out", "565"}, {"nail.canal", "11"}},
			[][2]string{{"nail.bone", "yes"}, {"nail.reduced", "yes"}, {"nail.side", "left"}}},
		{tab("/sizes/scale", "Magnification", "scale.how", "marker"), [][2]string{{"scale.true", "25"}, {"scale.seen", "30"}}, [][2]string{{"scale.depth", "yes"}}},
		{tab("/sizes/scale", "Magnification", "scale.how", "balls"), [][2]string{{"scale.behind.true", "24"}, {"scale.behind.seen", "25"}, {"scale.front.true", "71"}, {"scale.front.seen", "100"}, {"scale.between", "45"}}, nil},
		{place{path: "/sizes/cap", title: "End cap"}, [][2]string{{"cap.burial", "12"}}, nil},
		{tab("/sizes/bow", "Bow of the nail", "bow.how", "height"), [][2]string{{"bow.line", "300"}, {"bow.high", "12"}, {"bow.chord", "400"}, {"bow.stature", "1550"}}, [][2]string{{"bow.entry", "back"}}},
		{tab("/sizes/distal", "Distal locking", "distal.what", "holes"), [][2]string{{"distal.fracture", "305"}, {"distal.length", "400"}, {"distal.nail", "10"}}, [][2]string{{"distal.side", "left"}}},
		{tab("/sizes/distal", "Distal locking", "distal.what", "tilt"), [][2]string{{"distal.canal", "14"}, {"distal.thick", "10"}, {"distal.along", "120"}}, nil},
		{tab("/sizes/distal", "Distal locking", "distal.what", "screw"), [][2]string{{"distal.depth", "42"}}, [][2]string{{"distal.bone", "yes"}}},
		{tab("/sizes/turn", "Turn and length", "turn.what", "lesser"), [][2]string{{"turn.lesser.injured", "38"}, {"turn.lesser.sound", "40"}}, nil},
		{tab("/sizes/turn", "Turn and length", "turn.what", "length"), [][2]string{{"turn.length.injured", "402"}, {"turn.length.sound", "420"}}, nil},
		{tab("/sizes/turn", "Turn and length", "turn.what", "gap"), [][2]string{{"turn.gap", "4.2"}}, [][2]string{{"turn.simple", "yes"}}},
		{tab("/sizes/turn", "Turn and length", "turn.what", "arm"), [][2]string{{"turn.injured.condyles", "20"}, {"turn.injured.neck", "18"}, {"turn.sound.condyles", "30"}, {"turn.sound.neck", "12"}}, [][2]string{{"turn.side", "left"}}},
		{tab("/sizes/union", "Union", "union.scale", "rust"), [][2]string{{"union.inner", "3"}, {"union.outer", "2"}, {"union.front", "2"}, {"union.back", "2"}, {"union.days", "120"}}, nil},
	} {
		goTo(t, p, of.at)
		for _, n := range of.numbers {
			enter(t, p, n[0], n[1])
		}
		for _, a := range of.answers {
			choose(t, p, a[0], a[1])
		}
	}
}

// An entry is something that is entered on a screen by touch, and what is then
// true of that screen.
type entry struct {
	at    place
	enter func()
	shows string
}

// shownNumber is true when a row shows a number; shownText when a field does;
// shownPress when an answer is chosen.
func shownNumber(row, number string) string {
	return fmt.Sprintf(`document.querySelector('[data-row=%q] .value')?.firstChild.data === %q`, row, number)
}
func shownText(key, text string) string {
	return fmt.Sprintf(`document.querySelector('input[data-key=%q]')?.value === %q`, key, text)
}
func shownPress(attr, value string) string {
	return fmt.Sprintf(`document.querySelector('[data-%s=%q]')?.getAttribute("aria-pressed") === "true"`, attr, value)
}

// entries are one or two on every screen that takes any.
func entries(t *testing.T, p *Phone, home string) []entry {
	number := func(row, value string) func() { return func() { enter(t, p, row, value) } }
	answer := func(row, value string) func() { return func() { choose(t, p, row, value) } }
	// A text is taken when the finger goes on to something else.
	words := func(key, text, next string) func() {
		return func() {
			must(t, p.Type(fmt.Sprintf(`input[data-key=%q]`, key), text), p.TapOn(next))
		}
	}
	both := func(a, b func()) func() { return func() { a(); b() } }
	return []entry{
		{place{path: "/sizes/head", title: "Head screw"}, number("head.lower.depth", "98"), shownNumber("head.lower.depth", "98")},
		{place{path: "/sizes/wire", title: "Wire in the neck"}, both(both(answer("wire.what", "turn"), answer("wire.leg", "left")), number("wire.turn.reach", "73")), shownNumber("wire.turn.reach", "73")},
		{place{path: "/sizes/tip", title: "Tip–apex distance"}, number("tip.lower.ap", "13.8"), shownNumber("tip.lower.ap", "13.8")},
		{place{path: "/sizes/nail", title: "Nail"}, both(answer("nail.how", "film"), number("nail.film", "380")), shownNumber("nail.film", "380")},
		{place{path: "/sizes/scale", title: "Magnification"}, both(answer("scale.how", "distances"), number("scale.sid", "1150")), shownNumber("scale.sid", "1150")},
		{place{path: home, title: "Case 1"}, words("label", "Bed 7", `.sheet a[href$="/injury"]`), shownText("label", "Bed 7")},
		{place{path: home + "/injury", title: "Injury"}, both(answer("level", "mid-shaft"), number("age", "41")),
			shownPress("do", "set|level|mid-shaft") + " && " + shownNumber("age", "41")},
		{place{path: home + "/bone", title: "Bone"}, number("rod", "900"), shownNumber("rod", "900")},
		{place{path: home + "/head", title: "Head"}, number("upper-depth", "95.5"), shownNumber("upper-depth", "95.5")},
		{place{path: home + "/record", title: "Record"}, both(both(answer("implant-kind", "nail"), number("implant-diameter", "11")), words("notes", "screws by hand", ".top .back")),
			shownPress("do", "set|implant-kind|nail") + " && " + shownNumber("implant-diameter", "11") + " && " + shownText("notes", "screws by hand")},
		{place{path: "/shelf", title: "Shelf"}, words("shelf-name", "Hill hospital", `a[href="/shelf/rods"]`), shownText("shelf-name", "Hill hospital")},
		{place{path: "/shelf/reamers", title: "Reamer heads"}, number("bay-reamers-diameter", "9.5"), shownNumber("bay-reamers-diameter", "9.5")},
		{place{path: "/about", title: "About"}, answer("look", "dark"), shownPress("do", "set|look|dark") + ` && document.documentElement.dataset.look === "dark"`},
		{place{path: home + "/films", title: "Films"}, func() { openFilm(t, p, "testdata/films/variants/sp_none.dcm") }, `document.querySelector('.list a[href$="/film/0"]')`},
		{place{path: home + "/film/0", title: "Film 1"}, func() {}, `document.querySelector("#film-stage[data-matrix]") && (document.querySelector('[data-film="mode|about"]').click(), true) && ` +
			shownPress("film", "view|ap") + " && " + shownPress("film", "bone|injured") + " && " + shownPress("film", "reduced|yes")},
	}
}

// What was entered on a screen is there again after going back and forward,
// when the address of the screen is opened by itself, and after a reload.
func TestScreensKeepWhatWasEntered(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	all := entries(t, p, eval[string](t, p, `location.pathname`))
	for _, e := range all {
		goTo(t, p, e.at)
		e.enter()
	}
	for i := range all { // the case has another name now
		if all[i].at.title == "Case 1" {
			all[i].at.title = "Bed 7"
		}
	}
	for _, e := range all {
		goTo(t, p, e.at)
		must(t, p.Wait(e.shows))
	}
	here := func(e entry) string {
		return fmt.Sprintf(`location.pathname === %q && document.querySelector("h1").innerText === %q && %s`, e.at.path, e.at.title, e.shows)
	}
	for i := len(all) - 2; i >= 0; i-- {
		eval[bool](t, p, `(history.back(), true)`)
		must(t, p.Wait(here(all[i])))
	}
	for _, e := range all[1:] {
		eval[bool](t, p, `(history.forward(), true)`)
		must(t, p.Wait(here(e)))
	}
	must(t, p.Wait(`!document.querySelector(".filmresult").innerText.includes("NOT SAVED")`))
	for _, e := range all {
		must(t, p.Visit(host.URL(e.at.path)), p.Wait(here(e)))
		must(t, p.Reload(), p.Wait(here(e)))
	}
	quiet(t, p)
}

// A text that is still under the finger is kept when the phone is put away.
func TestTextIsKeptWhenThePhoneIsPutAway(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	toCase(t, p, "/record")
	must(t, p.Wait(saved), p.Type(`input[data-key="notes"]`, "screws by hand"))
	// What a browser tells a page that goes out of sight.
	eval[bool](t, p, `(Object.defineProperty(document, "visibilityState", { value: "hidden", configurable: true }), document.dispatchEvent(new Event("visibilitychange")), true)`)
	must(t, p.Wait(`document.querySelector('[data-do=undo]')?.innerText === "Undo: notes"`), p.Wait(saved), p.Reload(), p.Wait(shownText("notes", "screws by hand")))
}

const saved = `document.querySelector(".top .aside")?.innerText === "saved"`
