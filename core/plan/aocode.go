package plan

import "strings"

// A FractureCode is an AO/OTA 2018 code of a fracture of the femur that a nail
// can be planned for: the proximal end (31A, 31B) or the shaft (32).
type FractureCode struct {
	Bone      string // "31" or "32"
	Type      byte   // 'A', 'B' or 'C'
	Group     byte   // '1', '2' or '3'
	Qualifier byte   // 'a'…'c' or 'i'…'k' for the shaft; 0: not given
}

// A CodeError reports a code that is not a valid AO/OTA 2018 code of such a
// fracture.
type CodeError struct {
	Text string
	Why  string // "form", "bone", "type", "group", "qualifier", "long"
}

// Code names the fault for app/text.
func (e *CodeError) Code() string { return "ao-" + e.Why }

// Error says what was found, what is needed and what to do.
func (e *CodeError) Error() string {
	start := "plan: fracture code “" + e.Text + "” "
	switch e.Why {
	case "long":
		return "plan: the fracture code has more than 16 characters: type a code such as 32A3(b)"
	case "bone":
		return start + "is not of the proximal femur or its shaft: this plan needs a code that starts with 31A, 31B or 32"
	case "type":
		return start + "has a type this plan does not know: for 31 use A or B, for 32 use A, B or C"
	case "group":
		return start + "has a group that does not exist: 32A has 1 to 3, 32B and 32C have 2 and 3, 31A and 31B have 1 to 3"
	case "qualifier":
		return start + "has a qualifier that does not go with it: 32A and 32B take (a), (b) or (c), 32C takes (i), (j) or (k), 31 takes none"
	}
	return start + "does not have the form of a code: type bone, type, group and qualifier, such as 32A3(b)"
}

// groups lists the valid groups of each bone and type.
// Source: AO/OTA 2018, J Orthop Trauma 32 Suppl 1 (source.AO2018); 31 from
// memory.
var groups = map[string]string{"31A": "123", "31B": "123", "32A": "123", "32B": "23", "32C": "23"}

const maxCode = 16

// ParseCode reads a code such as "32A3(b)" or "32C3"; blanks and the case of
// letters do not matter, the qualifier may be left out. A and B of the shaft
// take (a), (b), (c) for its thirds; C takes (i) proximal, (j) pure shaft,
// (k) distal. Source: AO/OTA 2018. It refuses everything else with a
// *CodeError.
func ParseCode(text string) (FractureCode, error) {
	if len(text) > maxCode {
		return FractureCode{}, &CodeError{Why: "long"}
	}
	bad := func(why string) (FractureCode, error) {
		return FractureCode{}, &CodeError{Text: text, Why: why}
	}
	s := strings.ToUpper(strings.ReplaceAll(text, " ", ""))
	if len(s) != 4 && !(len(s) == 7 && s[4] == '(' && s[6] == ')') {
		return bad("form")
	}
	c := FractureCode{Bone: s[:2], Type: s[2], Group: s[3]}
	if c.Bone != "31" && c.Bone != "32" {
		return bad("bone")
	}
	allowed, ok := groups[s[:3]]
	if !ok {
		return bad("type")
	}
	if strings.IndexByte(allowed, c.Group) < 0 {
		return bad("group")
	}
	if len(s) == 4 {
		return c, nil
	}
	c.Qualifier = strings.ToLower(s)[5]
	if strings.IndexByte(qualifiers(c), c.Qualifier) < 0 {
		return bad("qualifier")
	}
	return c, nil
}

func qualifiers(c FractureCode) string {
	switch {
	case c.Bone != "32":
		return ""
	case c.Type == 'C':
		return "ijk"
	}
	return "abc"
}

// String writes the code in its usual form.
func (c FractureCode) String() string {
	if c.Bone == "" {
		return ""
	}
	s := c.Bone + string(c.Type) + string(c.Group)
	if c.Qualifier != 0 {
		s += "(" + string(c.Qualifier) + ")"
	}
	return s
}

// Proximal reports a shaft code in the upper third.
func (c FractureCode) Proximal() bool { return c.Qualifier == 'a' || c.Qualifier == 'i' }

// Middle reports a shaft code in the middle third. (j), pure shaft, does not
// say which third.
func (c FractureCode) Middle() bool { return c.Qualifier == 'b' }

// Distal reports a shaft code in the lower third.
func (c FractureCode) Distal() bool { return c.Qualifier == 'c' || c.Qualifier == 'k' }
