package text

import (
	"strings"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// roles are the roles of the list for the theatre in the order in which it is
// packed.
var roles = []plan.KitRole{plan.Planned, plan.Neighbour, plan.Always, plan.Removing}

// KitGroup is the lines of the list for the theatre that have one role.
type KitGroup struct {
	Title string
	Items []plan.KitItem
}

// KitGroups sorts the list by what each line is for; empty groups are left
// out.
func KitGroups(k plan.Kit) (out []KitGroup) {
	titles := map[plan.KitRole]string{plan.Planned: "Planned", plan.Neighbour: "Worth having in the room",
		plan.Always: "Needed whatever the size", plan.Removing: "To take parts out"}
	for _, r := range roles {
		g := KitGroup{Title: titles[r]}
		for _, it := range k.Items {
			if it.Role == r {
				g.Items = append(g.Items, it)
			}
		}
		if len(g.Items) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// KitRight says with which chance a planned size is the right one.
func KitRight(it plan.KitItem) string {
	if it.Role != plan.Planned || !(it.Chance > 0) {
		return ""
	}
	return "right with a chance of " + Percent(it.Chance)
}

// KitCover says for every kind how much of the doubt the shelf covers.
func KitCover(k plan.Kit) (out []Named) {
	for _, kind := range []string{plan.KindNail, plan.KindHead + "-lower", plan.KindHead + "-upper"} {
		if share, ok := k.Cover[kind]; ok {
			out = append(out, Named{capital(Kind(kind)) + ": the right size is in the room", Percent(share)})
		}
	}
	return out
}

// Shared returns the sheet of a case as plain text, to be printed or sent:
// every line of the sheet, the list for the theatre with boxes to tick, the
// stops and the cautions. It holds the case's label and nothing else of the
// patient.
func Shared(c record.Case, p plan.Plan, shelf implant.Shelf, now string) string {
	var b strings.Builder
	line := func(s string) { b.WriteString(s + "\n") }
	if c.Practice != "" {
		line("*** " + PracticeLarge + " ***")
		line(PracticeMore)
	}
	line(c.Label + ", as of " + When(now))
	for _, s := range Cautions() {
		line(s)
	}
	if shelf.Teaching {
		line("INVENTED TEACHING SET: these sizes are of no hospital. Not for a patient.")
	} else {
		line("Shelf: " + shelf.Name)
	}
	for _, q := range p.Problems {
		if q.Level == plan.Stop {
			title, do := Problem(q)
			line("STOP: " + title + ". " + do)
		}
	}
	line("\nTHE PLAN")
	for _, l := range Sheet(c, p) {
		line(l.Title + " (" + stateNames[l.State] + "): " + l.Result)
		if l.Detail != "" {
			line("    " + l.Detail)
		}
	}
	line("\nFOR THE THEATRE: " + KitCount(p.Kit))
	for _, g := range KitGroups(p.Kit) {
		line(g.Title)
		for _, it := range g.Items {
			title, more := KitItem(it)
			line("  [ ] " + title)
			line("      " + strings.Join(nonEmpty(more, capital(KitRight(it))), " "))
		}
	}
	removalText(&b, p.Removal)
	return plainSpaces(b.String())
}

func removalText(b *strings.Builder, r plan.Removal) {
	if len(r.Parts)+len(r.Steps) == 0 {
		return
	}
	b.WriteString("\nTO TAKE IT OUT\n")
	for _, p := range r.Parts {
		b.WriteString("  " + RemovalPart(p) + "\n")
	}
	for _, s := range r.Steps {
		b.WriteString("  - " + Reason(s) + "\n")
	}
}

var stateNames = map[State]string{Open: "open", Settled: "settled", InDispute: "TO BE SETTLED FIRST"}

// StateName says how far a line of the sheet is.
func StateName(s State) string { return stateNames[s] }

func nonEmpty(parts ...string) (out []string) {
	for _, s := range parts {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// plainSpaces turns spaces that do not break into plain ones: a text that is
// sent is read by programs that show them oddly.
func plainSpaces(s string) string { return strings.ReplaceAll(s, nbsp, " ") }
