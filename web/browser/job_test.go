package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"isthmus/core/radiograph"
	"isthmus/core/record"
	"isthmus/web/build"
)

// The two real films of the job, both of one adult hip; provenance in
// testdata/films/PROVENANCE.md. The JPEG has a drawn ball of 25 mm: centre
// (1000.25, 1560.75) px, 150 px across, so that its pixels are 25/150 mm.
const (
	jpegFilm  = "testdata/films/variants/cal_ball25_ruler_mag1p20.jpg"
	dicomFilm = "testdata/films/real/RG2_JPLL.dcm"
)

// A surgeon works the whole job with touch alone, on a slow phone, with the
// server gone: a head screw at the bedside; a case with two real films, the
// scale from a ball, landmarks, the nail and the screws; the same numbers
// after a reload; and the same plan on a second phone that was given the file.
func TestTheJob(t *testing.T) {
	host := site(t)
	server, err := built()
	must(t, err)
	p := phone(t, Setup{})
	must(t, p.Visit(host.URL("/")))
	started(t, p)
	kept(t, p)
	must(t, host.Stop())
	must(t, p.Reload())
	started(t, p)
	bedsideScrew(t, p)
	newCase(t, p)
	sayInjury(t, p)
	openFilm(t, p, dicomFilm)
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); !strings.Contains(got, "No scale") && !strings.Contains(got, "no millimetres") {
		t.Errorf("the DICOM film says %q, want that its own spacing is no scale of the bone (DICOM PS3.3, 10.7.1.1: Pixel Spacing alone)", got)
	}
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	markBall(t, p)
	placeLandmarks(t, p)
	readWires(t, p)
	want := readPlan(t, p)
	checkPlan(t, want)
	must(t, p.Reload())
	started(t, p)
	if got := readPlan(t, p); got != want {
		t.Errorf("after a reload the plan reads\n%s\nwant\n%s", got, want)
	}
	file := exportCase(t, p)
	quiet(t, p)

	must(t, host.Start(server))
	q := phone(t, Setup{})
	must(t, q.Visit(host.URL("/cases")))
	running(t, q)
	kept(t, q)
	must(t, host.Stop())
	must(t, q.Upload(`input[data-file="case-file"]`, file), q.Wait(`location.pathname.startsWith("/case/")`))
	if got := readPlan(t, q); got != want {
		t.Errorf("on the second phone the plan reads\n%s\nwant\n%s", got, want)
	}
	quiet(t, q)
}

// keys types a number on the app's own keypad; in says how the keypad names
// its actions.
func keys(t *testing.T, p *Phone, in, number string) {
	t.Helper()
	for _, k := range number {
		must(t, p.TapOn(fmt.Sprintf(`.pad [data-%s="key|%c"]`, in, k)))
	}
	must(t, p.TapOn(fmt.Sprintf(`.pad [data-%s="key|set"]`, in)), p.Wait(`!document.querySelector(".pad")`))
}

// enter fills a row of a form with a number.
func enter(t *testing.T, p *Phone, row, number string) {
	t.Helper()
	must(t, p.TapOn(fmt.Sprintf(`[data-row=%q] .value`, row)), p.Wait(`document.querySelector(".pad")`))
	keys(t, p, "do", number)
}

// choose taps an answer of a form's row and waits until it is taken.
func choose(t *testing.T, p *Phone, row, value string) {
	t.Helper()
	answer := fmt.Sprintf(`[data-do="set|%s|%s"]`, row, value)
	must(t, p.TapOn(answer), p.Wait(fmt.Sprintf(`document.querySelector('%s')?.getAttribute("aria-pressed") === "true"`, answer)))
}

func bedsideScrew(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.TapOn(`a[href="/sizes/head"]`), p.Wait(`document.querySelector("[data-row='head.lower.depth']")`))
	enter(t, p, "head.lower.depth", "98")
	choose(t, p, "head.lower.bone", "yes")
	must(t, p.Wait(`document.querySelector("[data-answer='screw-lower'] .part")?.innerText.startsWith("90")`)) // common practice: 98 − 5 → 93 → 90
	must(t, p.Reload())
	must(t, p.Wait(`document.querySelector("[data-answer='screw-lower'] .part")?.innerText.startsWith("90")`)) // what was typed survives
}

func newCase(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.TapOn(`nav a[href="/cases"]`), p.TapText("New case"), p.Wait(`location.pathname.startsWith("/case/") && document.querySelector(".sheet")`))
}

// toCase goes to a part of the open case by the address, as a person would by
// its back arrows.
func toCase(t *testing.T, p *Phone, part string) {
	t.Helper()
	path := eval[string](t, p, `location.pathname.split("/").slice(0, 3).join("/")`)
	eval[bool](t, p, fmt.Sprintf(`(goappNav(%q), true)`, path+part))
	title := map[string]string{"/injury": "Injury", "/films": "Films", "/bone": "Bone", "/nail": "Nail", "/head": "Head", "/record": "Record"}[part]
	drawn := fmt.Sprintf(`document.querySelector("h1").innerText === %q`, title)
	if part == "" {
		drawn = `document.querySelector(".sheet")`
	}
	// The address changes before the screen does.
	must(t, p.Wait(fmt.Sprintf(`location.pathname === %q && document.querySelector("main[data-ready]") && %s`, path+part, drawn)))
}

func sayInjury(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.TapOn(`.sheet a[href$="/injury"]`), p.Wait(`document.querySelector("[data-row='neck']")`))
	choose(t, p, "side", "left")
	choose(t, p, "level", "mid-shaft")
	choose(t, p, "neck", "yes")
	for _, row := range []string{"physis", "implant", "infection"} {
		choose(t, p, row, "no")
	}
	toCase(t, p, "/films")
}

func openFilm(t *testing.T, p *Phone, file string) {
	t.Helper()
	root, err := build.Root()
	must(t, err)
	if !filepath.IsAbs(file) {
		file = filepath.Join(root, file)
	}
	must(t, p.Upload(`input[data-file="film-file"]`, file))
	must(t, p.Wait(`location.pathname.includes("/film/") && document.querySelector("#film-stage[data-matrix]") && !document.querySelector(".opening")`))
	for _, a := range []string{"view|ap", "bone|injured", "reduced|yes"} {
		press(t, p, a)
	}
}

// press taps a control of the film and waits until it shows as pressed.
func press(t *testing.T, p *Phone, do string) {
	t.Helper()
	at := fmt.Sprintf(`[data-film=%q]`, do)
	must(t, p.TapOn(at), p.Wait(fmt.Sprintf(`document.querySelector('%s')?.getAttribute("aria-pressed") === "true"`, at)))
}

// onFilm returns where a place of the film lies on the screen.
func onFilm(t *testing.T, p *Phone, x, y float64) Spot {
	t.Helper()
	v := eval[[]float64](t, p, `(() => { const s = document.getElementById("film-stage"), r = s.getBoundingClientRect();
		return [...s.dataset.matrix.split(" ").map(Number), r.left, r.top]; })()`)
	return Spot{v[0]*x + v[2]*y + v[4] + v[6], v[1]*x + v[3]*y + v[5] + v[7]}
}

// zoom pinches about a place of the film until a film pixel is at least that
// many css pixels.
func zoom(t *testing.T, p *Phone, x, y, scale float64) {
	t.Helper()
	for range 6 {
		if eval[float64](t, p, `Number(document.getElementById("film-stage").dataset.matrix.split(" ")[0])`) >= scale {
			return
		}
		c := onFilm(t, p, x, y)
		must(t, p.Pinch(Spot{c.X - 15, c.Y}, Spot{c.X + 15, c.Y}, Spot{c.X - 45, c.Y}, Spot{c.X + 45, c.Y}))
		time.Sleep(200 * time.Millisecond) // the view comes to rest
	}
}

// fit shows the whole film. The stage may still be changing its height when
// the button is looked up, so that a tap can miss it.
func fit(t *testing.T, p *Phone) {
	t.Helper()
	for range 10 {
		must(t, p.TapOn(`[data-film="fit"]`))
		time.Sleep(300 * time.Millisecond)
		if eval[float64](t, p, `Number(document.getElementById("film-stage").dataset.matrix.split(" ")[0])`) < 0.5 {
			return
		}
	}
	t.Fatal("the whole film is not shown")
}

// tapFilm taps a place of the film; a quick second tap would count as one.
func tapFilm(t *testing.T, p *Phone, x, y float64) {
	t.Helper()
	time.Sleep(450 * time.Millisecond)
	must(t, p.Tap(onFilm(t, p, x, y)))
	time.Sleep(150 * time.Millisecond)
}

func markBall(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.TapOn(`[data-film="mode|scale"]`), p.TapOn(`[data-film="add|ball"]`), p.TapOn(`[data-film="pad|true"]`))
	keys(t, p, "film", "25")
	press(t, p, "at-bone|yes")
	const x, y, r = 1000.25, 1560.75, 75
	zoom(t, p, x, y, 1)
	for _, d := range [][2]float64{{1, 0}, {0.5, 0.8660254}, {-0.5, 0.8660254}, {-1, 0}, {-0.5, -0.8660254}, {0.5, -0.8660254}} {
		tapFilm(t, p, x+r*d[0], y+r*d[1])
	}
	must(t, p.Wait(`/mm\/px|Scale from/.test(document.querySelector(".filmresult").innerText)`))
}

// The landmarks are placed where they give round sizes at 25/150 mm a pixel:
// this film shows the upper half of a femur only, so they are no anatomy.
var marks = []struct {
	name string
	x, y float64
}{{"trochanter-tip", 500, 100}, {"distal-target", 500, 2080}, {"canal-a", 467, 1100}, {"canal-b", 533, 1100}}

func placeLandmarks(t *testing.T, p *Phone) {
	t.Helper()
	press(t, p, "mode|points")
	must(t, p.Wait(`document.getElementById("film-chips")`))
	fit(t, p)
	for _, m := range marks {
		placeLandmark(t, p, m.name, m.x, m.y)
	}
}

// placeLandmark asks for a landmark, in whichever group it is, and taps it.
func placeLandmark(t *testing.T, p *Phone, name string, x, y float64) {
	t.Helper()
	chip := fmt.Sprintf(`[data-film="landmark|%s"]`, name)
	for _, group := range []string{"", "length", "canal", "fracture", "hip-front", "hip-side", "films", "old"} {
		if eval[bool](t, p, fmt.Sprintf(`Boolean(document.querySelector('%s'))`, chip)) {
			break
		}
		openGroup(t, p, group)
	}
	asked := fmt.Sprintf(`document.querySelector('%s')?.className.includes("asked")`, chip)
	if !eval[bool](t, p, "Boolean("+asked+")") {
		must(t, p.TapOn(chip), p.Wait(asked))
	}
	tapFilm(t, p, x, y)
	must(t, p.Wait(fmt.Sprintf(`document.getElementById("film-chips")?.dataset.placed.split(" ").includes(%q)`, name)))
}

// openGroup opens a group of landmarks, if this view has it.
func openGroup(t *testing.T, p *Phone, group string) {
	t.Helper()
	button := fmt.Sprintf(`[data-film="group|%s"]`, group)
	if group == "" {
		return
	}
	if !eval[bool](t, p, `Boolean(document.querySelector(".groups"))`) {
		must(t, p.TapOn(`[data-film="groups"]`), p.Wait(`document.querySelector(".groups")`))
	}
	if eval[bool](t, p, fmt.Sprintf(`Boolean(document.querySelector('%s'))`, button)) {
		must(t, p.TapOn(button), p.Wait(`document.getElementById("film-chips")`))
	}
}

func readWires(t *testing.T, p *Phone) {
	t.Helper()
	toCase(t, p, "/head")
	for _, w := range [][2]string{{"lower", "100"}, {"upper", "95"}} {
		enter(t, p, w[0]+"-depth", w[1])
		choose(t, p, w[0]+"-bone", "yes")
	}
	must(t, p.Wait(`document.querySelector(".top .aside").innerText === "saved"`))
}

// readPlan returns what the nail and the head screens say to ask for.
func readPlan(t *testing.T, p *Phone) string {
	t.Helper()
	var out []string
	for _, part := range []string{"/nail", "/head"} {
		toCase(t, p, part)
		out = append(out, eval[string](t, p, `[...document.querySelectorAll("[data-answer]")].map((e) => e.dataset.answer + ": " + e.innerText.replace(/\s+/g, " ")).join("\n")`))
	}
	toCase(t, p, "")
	return strings.Join(out, "\n")
}

// checkPlan holds the numbers against hand calculation: 1980 px · 25/150 =
// 330 mm, less a burial of 5, down to 20 mm steps: 320. 66 px · 25/150 =
// 11.0 mm of canal: nail 11 or thinner, reamed 1 mm over it. Wires 100 and
// 95, less 5: 95 and 90 (common practice).
func checkPlan(t *testing.T, plan string) {
	t.Helper()
	for _, want := range []string{" × 320mm", "Ream to", "screw-lower: 95mm", "screw-upper: 90mm"} {
		if !strings.Contains(strings.ReplaceAll(plan, "\u00a0", " "), want) && !strings.Contains(strings.ReplaceAll(strings.ReplaceAll(plan, "\u00a0", " "), " mm", "mm"), want) {
			t.Errorf("the plan does not say %q:\n%s", want, plan)
		}
	}
	var dia int
	if _, err := fmt.Sscanf(strings.ReplaceAll(plan, "\u00a0", " "), "nail: %d ×", &dia); err != nil || dia < 10 || dia > 11 {
		t.Errorf("nail diameter %d (%v), want 10 or 11 for a canal of 11.0 mm:\n%s", dia, err, plan)
	}
	if !strings.Contains(plan, strconv.Itoa(dia+1)+".0") {
		t.Errorf("the reamers do not end at %d.0:\n%s", dia+1, plan)
	}
}

// exportCase exports the open case with its films and returns the file.
func exportCase(t *testing.T, p *Phone) string {
	t.Helper()
	// A headless browser has no share sheet: the file comes as a download.
	name, data, err := p.Download(func() error { return p.TapText("Export with films") })
	must(t, err)
	f, err := record.Unpack(data)
	if err != nil || len(f.Films) != 2 || len(f.Case.Films) != 2 {
		t.Fatalf("the exported file %s holds %d films of %d: %v", name, len(f.Films), len(f.Case.Films), err)
	}
	for sum, film := range f.Films {
		if again, removed, err := radiograph.Clean(film); err != nil || len(removed) > 0 || len(again) != len(film) {
			t.Errorf("the exported film %s still carries %v (%v)", sum[:8], removed, err)
		}
	}
	path := filepath.Join(t.TempDir(), "case.isthmus")
	must(t, os.WriteFile(path, data, 0o600))
	return path
}
