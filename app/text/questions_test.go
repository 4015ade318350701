package text

import (
	"reflect"
	"strings"
	"testing"

	"isthmus/core/record"
)

// Every field of the injury has a question and a why, and no words are left
// over for a field that the case does not have.
func TestEveryFieldIsAsked(t *testing.T) {
	want := map[string]bool{}
	var fields func(prefix string, ty reflect.Type)
	fields = func(prefix string, ty reflect.Type) {
		for i := range ty.NumField() {
			name, _, _ := strings.Cut(ty.Field(i).Tag.Get("json"), ",")
			want[prefix+name] = true
			if ty.Field(i).Type == reflect.TypeFor[*record.AtypicalSay]() {
				fields(prefix+name+".", reflect.TypeFor[record.AtypicalSay]())
			}
		}
	}
	fields("", reflect.TypeFor[record.Injury]())
	if len(want) != 26+9 { // by hand: core/record/FORMAT.md, injury and atypical_signs
		t.Errorf("the injury has %d fields, want 35", len(want))
	}
	for _, k := range record.ReadingKinds() {
		want["reading."+string(k)] = true
		if name, hint := Reading(k); name == string(k) || hint == "" {
			t.Errorf("reading %s is called %q, %q", k, name, hint)
		}
	}
	for _, k := range record.EvidenceKinds() {
		want["evidence."+string(k)] = true
		if name, hint := Evidence(k); name == string(k) || hint == "" {
			t.Errorf("evidence %s is called %q, %q", k, name, hint)
		}
	}
	for f := range want {
		if q := Question(f); q == f || q == "" || QuestionWhy(f) == "" || strings.Contains(q, "|") || len([]rune(q)) > 75 {
			t.Errorf("%s is questions as %q because %q", f, q, QuestionWhy(f))
		}
	}
	for f := range questions {
		if !want[f] {
			t.Errorf("%s has words and is no field", f)
		}
	}
}

// Every word of a list has its words, and none is left over.
func TestEveryChoiceHasWords(t *testing.T) {
	want := map[string]bool{}
	add := func(field, word string) {
		want[field+" "+word] = true
		if s := Choice(field, word); s == word || s == "" {
			t.Errorf("%s %s is called %q", field, word, s)
		}
	}
	for _, v := range record.Levels() {
		add("level", string(v))
	}
	for _, v := range record.Wounds() {
		add("wound", string(v))
	}
	for _, v := range record.Comminutions() {
		add("comminution", string(v))
	}
	for _, v := range record.Entries() {
		add("entry", string(v))
	}
	for c := range choices {
		if !want[c] {
			t.Errorf("%s has words and is no choice", c)
		}
	}
	for word, want := range map[string]string{"yes": "Yes", "unsure": "Unsure", "": ""} {
		if got := Choice("neck", word); got != want {
			t.Errorf("Choice(neck, %q) = %q, want %q", word, got, want)
		}
	}
}

// What is not known is said as it is written, never left out.
func TestUnknownWordsStay(t *testing.T) {
	if Question("smoker") != "smoker" || QuestionWhy("smoker") != "" || Choice("entry", "top") != "Top" {
		t.Error("an unknown field or word got words")
	}
	if name, hint := Reading("wire-middle"); name != "wire-middle" || hint != "" {
		t.Errorf("an unknown reading is called %q, %q", name, hint)
	}
	if name, hint := Evidence("coin"); name != "coin" || hint != "" {
		t.Errorf("unknown evidence is called %q, %q", name, hint)
	}
}
