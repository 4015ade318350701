// Package source is the one register of where a number, a formula or a rule
// comes from. Code cites a Key; the screen, the print and the tests look the
// citation up here. A test refuses a key that nobody cites and a citation
// that is not here.
package source

import "slices"

// A Key names a source in code and in files.
type Key string

// How we know it.
type Seen string

const (
	Read     Seen = "read"            // the value was seen on the page named
	Abstract Seen = "abstract read"   // only the abstract was seen
	Derived  Seen = "derived"         // our own geometry, recomputed in a test
	Practice Seen = "common practice" // no published source; an editable policy
	Memory   Seen = "from memory"     // not checked against a page; an editable policy
)

// A Source is one entry of the register.
type Source struct {
	Key      Key    `json:"key"`
	Citation string `json:"citation"`
	Seen     Seen   `json:"seen"`
}

const (
	Geometry     Key = "geometry"
	CommonUse    Key = "common-practice"
	GUM          Key = "jcgm-100"
	MonteCarlo   Key = "jcgm-101"
	DICOMSpacing Key = "dicom-10.7"
	DICOMGeom    Key = "dicom-c.8.7.6"
	Coin2006     Key = "coin-2006"
	Depth2022    Key = "klever-2022"
	King2009     Key = "king-2009"
	Lampang      Key = "wangjiraphan"
	SideDiff     Key = "laumonerie-2018"
	AO2018       Key = "ao-ota-2018"
	AOReaming    Key = "ao-reaming"
	AODistal     Key = "ao-distal"
	AOTwoRods    Key = "ao-two-rods"
	Subtroch     Key = "efort-2021"
	Tornetta     Key = "tornetta-2007"
	MRINeck      Key = "mri-neck-2020"
	TAD1995      Key = "baumgaertner-1995"
	TADReview    Key = "fujii-2016"
	Subchondral  Key = "teaching-subchondral"
	NailFit2018  Key = "nail-fit-2018"
	NailFit2022  Key = "nail-size-2022"
	Hajek        Key = "hajek-1993"
	Brumback     Key = "brumback-1998"
	Bucholz      Key = "bucholz-1987"
	LowerScrew   Key = "josr-2016"
	Entry        Key = "aaos-entry"
	Isthmus2015  Key = "isthmus-2015"
	FemurCT2015  Key = "cho-2015"
	Trotter      Key = "trotter-gleser-1952"
	Turgut       Key = "turgut-2020"
	SkinRuler    Key = "skin-landmarks"
	Atypical     Key = "asbmr-2013"
	Young2013    Key = "young-2013"
	HeatMemory   Key = "heat-memory"
	NeckRoom     Key = "neck-room-memory"
	Whiteboard   Key = "zhang-he-2007"
	PhotoMemory  Key = "photo-memory"

	Gustilo   Key = "gustilo"
	Winquist  Key = "winquist"
	FatEmboli Key = "lempert-2021"
	ZEffect   Key = "pires-2011"
	Removed   Key = "removal-2025"

	Flare       Key = "flare-2018"
	Impinge     Key = "pmid-22743391"
	KneeTop     Key = "pmid-31343595"
	BowRadius   Key = "bow-2018"
	DeviceCodes Key = "device-codes"
	HipRange    Key = "hip-range"
	CanalRange  Key = "canal-range"
	HeadRange   Key = "head-range"
	FarCortex   Key = "ao-far-cortex"
	TurnLimits  Key = "turn-2020"
	TurnAfter   Key = "turn-2023"
	Retroverted Key = "version-2016"
	LesserTrial Key = "lesser-2023"
	LegLength   Key = "herscovici-2014"
	GapSeries   Key = "gap-2023"
	RUSTScore   Key = "rust"
	Litrenta    Key = "litrenta-2015"
	Vicenti     Key = "vicenti-2019"
	Dynamised   Key = "dynamisation-pooled"
	Vaughn      Key = "vaughn-2018"
	Callus      Key = "callus-memory"
	Hough       Key = "duda-hart-1972"
	Bellman     Key = "bellman-1957"
	CircleFit   Key = "gander-1994"
)

var register = []Source{
	{Geometry, "Plane geometry, recomputed in this project's tests", Derived},
	{CommonUse, "Common practice; no published source. Change it on the shelf or in the policy", Practice},
	{GUM, "JCGM 100:2008, Guide to the expression of uncertainty in measurement", Read},
	{MonteCarlo, "JCGM 101:2008, Propagation of distributions using a Monte Carlo method", Memory},
	{DICOMSpacing, "DICOM PS3.3, 10.7 Pixel Spacing attributes", Read},
	{DICOMGeom, "DICOM PS3.3, C.8.7.6 X-Ray acquisition geometry", Read},
	{Coin2006, "Orthopaedic Proceedings 2006, 88-B Supp II, 247: coin at the trochanter on 20 pelvic films", Abstract},
	{Depth2022, "Klever 2022, Vet Comp Orthop Traumatol 35:10: 1 cm of marker height is about 1 %", Abstract},
	{King2009, "King 2009, Bone Joint J: two markers against one", Abstract},
	{Lampang, "Wangjiraphan, Lampang Med J: magnification 14.1 % (SD 4.1) on 199 hip images", Abstract},
	{SideDiff, "Laumonerie and Ollivier 2018, Orthop Proc 100-B Supp 1, 68: 346 pairs by CT", Abstract},
	{AO2018, "AO/OTA Fracture and Dislocation Classification 2018, J Orthop Trauma 32 Suppl 1", Read},
	{AOReaming, "AO Foundation teaching page on reaming: 0.5 mm steps, nail + 0.5 to + 1.0 mm", Read},
	{AODistal, "AO Foundation teaching page on distal locking: several screws for distal fractures", Read},
	{AOTwoRods, "AO Foundation teaching page: nail length by a second rod of equal length", Read},
	{Subtroch, "EFORT Open Rev 2021, 6:145: subtrochanteric is within 5 cm below the lesser trochanter", Read},
	{Tornetta, "Tornetta 2007: protocol that looks for a neck fracture with every shaft fracture", Abstract},
	{MRINeck, "J Bone Joint Surg 2020, 102:309: MRI found neck fractures that thin CT had missed (4 of 33)", Abstract},
	{TAD1995, "Baumgaertner 1995, J Bone Joint Surg Am 77:1058: tip–apex distance, 198 trochanteric fractures in old patients", Abstract},
	{TADReview, "Fujii 2016: tip–apex distance above 20 mm", Abstract},
	{Subchondral, "Orthopaedic teaching page: 5 to 12 mm from the joint surface", Read},
	{NailFit2018, "Nail fit study, J Orthop Trauma, May 2018: 211 patients, fit under 70 %", Abstract},
	{NailFit2022, "BMC Musculoskelet Disord 2022, 12891-022-05781-0: no effect of nail size, 257 patients", Abstract},
	{Hajek, "Hajek 1993: 27 patients healed with one distal screw", Abstract},
	{Brumback, "Brumback 1998: fatigue strength higher with two distal screws", Abstract},
	{Bucholz, "Bucholz 1987, J Bone Joint Surg Am: fatigued nails had the fracture within 50 mm of the hole", Abstract},
	{LowerScrew, "J Orthop Surg Res 2016, 13018-016-0377-y: a longer lower screw shares load better", Abstract},
	{Entry, "AAOS guideline on femoral shaft fractures in children; review PMID 21572274", Read},
	{Isthmus2015, "BioMed Res Int 2015, 459612: isthmus 10.5 ± 1.5 mm in 204 Chinese femora by CT", Abstract},
	{FemurCT2015, "Cho 2015, BioMed Res Int 730538, Table 3: lengths of the whole femur", Read},
	{Trotter, "Trotter and Gleser 1952, Appendix 1–4: stature and femur", Read},
	{Turgut, "Turgut 2020, PMC7286169: lesser-trochanter ratio on 860 CT", Read},
	{SkinRuler, "ijos.ir 121322: skin landmarks of 25 femora read longer than the nail that was used", Abstract},
	{Atypical, "ASBMR 2013, definition of the atypical femoral fracture; Medicina 2023, 59:735: nailing broke bone in 21 % of 95, more with a bow", Abstract},
	{Young2013, "Young 2013, Clin Orthop Relat Res 471:1593: widths of the two femora differ under 4 %", Abstract},
	{HeatMemory, "Heat of reaming in a narrow canal: limits from memory; AO Foundation page names 9 mm", Memory},
	{Whiteboard, "Zhang and He 2007, Whiteboard scanning and image enhancement: focal length and shape of a rectangle from one photo", Memory},
	{PhotoMemory, "Photos of films: focal lengths of phones, how straight they draw, limits from memory", Memory},
	{Flare, "PMC5964262, figure 1: canal flare and cortical thickness index; bands after Noble 1988, from memory", Read},
	{Impinge, "PMID 22743391: tip of the nail in 150 femora; contact with the anterior cortex in 25 %, in 49 % under 160 cm of height", Abstract},
	{KneeTop, "PMID 31343595: contact with the anterior cortex was more common when the nail ended above the kneecap", Abstract},
	{BowRadius, "PLoS ONE 2018, PMC6177158: bow of 1232 femora, mean radius 943 mm; length and age explain it", Abstract},
	{FarCortex, "AO Foundation teaching page: a distal screw catches the far cortex; an overlong one hides on a film from the front, turn the leg 30° inwards", Read},
	{TurnLimits, "Branca Vergano 2020, Acta Biomed; Süer 2025: under 10° taken as normal, 15° malrotation, over 30° corrected", Abstract},
	{TurnAfter, "J Orthop Surg Res 2023, 13018-023-04300-8: after nailing 14.7 ± 6.0° of difference, 48.5 % above 15°", Abstract},
	{DeviceCodes, "FDA, UDI formats, 2017; GS1 General Specifications, check digit; HIBC Supplier Labeling Standard, modulo 43", Read},
	{HipRange, "PMC4775021: 1070 femora by CT, neck–shaft angle 100.1 to 146.2°, torsion −23.6 to 48.7°", Abstract},
	{CanalRange, "PMC8589507: smallest canal of 96 Chinese volunteers, men 10.8 ± 1.5 mm, women 9.8 ± 1.3 mm", Abstract},
	{HeadRange, "J Clin Med Res 2019, 11:740: heads of northern Greek femora, men 47.6 ± 2.8 mm, women 42.0 ± 2.4 mm", Read},
	{Retroverted, "PMC4775021: torsion of 1070 femora by CT, median 14.2°, −23.6 to 48.7°, 7.8 % retroverted", Read},
	{LesserTrial, "Lesser-trochanter method 13.9 ± 6.7° against 15.7 ± 5.5° by looking, no better in patients; 3° on bones (Mao 2024)", Abstract},
	{LegLength, "Leg length after nailing: Herscovici 2014; Winquist III and IV: discuss 15 to 20 mm, correct over 20 mm", Abstract},
	{GapSeries, "J Orthop Sci 2023: gap of 4.14 mm and more, 30 simple fractures with 4 non-unions", Abstract},
	{RUSTScore, "Score of union at four cortices (RUST, mRUST): OrthoBuzz; Schmidt 2023, J Orthop Trauma", Read},
	{Litrenta, "Litrenta 2015: united at RUST 10 and mRUST 11", Memory},
	{Vicenti, "Vicenti 2019: dynamised after 3 to 6 months, 64 of 68 united (94 %)", Abstract},
	{Dynamised, "Dynamisation pooled: 77.2 % of 318 united, femora and tibiae", Abstract},
	{Vaughn, "Vaughn 2018: dynamisation 66.4 % of 131, exchange nailing 84.8 % of 644", Abstract},
	{Callus, "An unstable fracture without callus is not dynamised: it shortens. From memory", Memory},
	{Gustilo, "Gustilo and Anderson, open fractures: I under 1 cm, II over 1 cm, III extensive or over 10 cm (several teaching pages)", Read},
	{Winquist, "Winquist and Hansen, comminution: 0 none, I under 25 %, II up to 50 %, III more, IV no contact (several teaching pages)", Read},
	{FatEmboli, "Lempert 2021: fat embolism 7.9, 4.8 and 1.7 % over three eras, 3,095 patients", Abstract},
	{ZEffect, "Pires 2011, Patient Saf Surg 5:17: Z-effect, blamed on varus and on a medial cortex in pieces", Read},
	{Removed, "Bone Joint Res 2025, 14:368: femora broke at a lower load after the nail was out; J Med Cases 2015: refracture", Abstract},
	{Hough, "Duda and Hart 1972, Commun ACM 15:11: straight lines found by votes", Memory},
	{Bellman, "Bellman 1957, Dynamic Programming: the path of least cost", Memory},
	{CircleFit, "Gander, Golub and Strebel 1994, BIT 34:558: circles and ellipses of least squares", Memory},
	{NeckRoom, "Clearances around two screws in the neck: sizes from memory", Memory},
}

// All returns the register in its order.
func All() []Source { return slices.Clone(register) }

// Find returns the entry of a key, and false when there is none.
func Find(k Key) (Source, bool) {
	for _, s := range register {
		if s.Key == k {
			return s, true
		}
	}
	return Source{}, false
}
