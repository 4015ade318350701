package source

var contradictions = []Contradiction{
	{"Usual magnification", "as good as the distance from bone to film (2010)", "outdated: errors up to 12.4 % (2023), SD 4.1 %", "Last resort, labelled as assumed; it never counts beside a marker.", "usual"},
	{"Which patients differ", "body mass makes no difference to magnification (Thailand)", "it does, r = 0.43 (Cologne)", "Ask where the marker lay, not for body mass.", "usual"},
	{"How many were measured", "the study of usual magnification names 119 patients", "its percentages are of 199 images", "Cited as images.", "usual"},
	{"A single marker", "standard practice", "errors up to 17.4 % (2010), r = 0.30 to 0.36 (2015)", "Ask for the depth of every marker; an unknown depth is in the doubt.", "depth"},
	{"Neck–shaft angle", "122° in three dimensions", "129 to 135° on films", "No normal value is used: compare with the other side.", "neck-shaft"},
	{"Nail in the canal", "filling less than 70 % went badly (odds 11.4)", "no effect of size (2022)", "A caution, never a stop.", "nail-fit"},
	{"Diameter of the nail", "at least 12 mm in women, 13 mm in men (1998)", "10 mm is enough (2022)", "No default by sex: the canal decides.", "nail-diameter"},
	{"Tip–apex distance", "25 mm (1995)", "20 mm (2016), 34.8 mm (2022)", "20 mm a note, 25 mm a caution; both can be changed.", "tip-apex"},
	{"Distal screws", "one is enough (1993)", "two are stronger (1998)", "Two; three below the isthmus.", "distal"},
	{"CT of the neck", "found 12 of 13 fractures (2007)", "MRI found 12.1 % more (2020)", "A CT without a line does not exclude a fracture: it is a caution.", "pattern"},
	{"Neck fractures missed at first", "20 to 50 %", "19 to 31 %, 19 to 50 %", "Said as one in two to five; no plan until the neck was looked at.", "pattern"},
	{"Neck and shaft both broken", "one nail for both", "two implants", "No consensus: head locking is proposed, the surgeon chooses.", "pattern"},
	{"Gustilo type II", "over 1 cm", "1 to 10 cm", "Over 10 cm it is a caution; the length is kept beside the type.", "wound"},
	{"Thirds of the shaft in the code", "often written (a), (b), (c) for all", "2018: (i), (j), (k) for 32C", "2018 is followed; the other is refused.", "code"},
	{"Rotation from the lesser trochanter", "within 3° on bones", "no better than looking, in patients (2023)", "An aid, no proof.", "rotation"},
	{"Radius of the bow", "722 mm", "943 to 1027 mm", "Measured, never assumed.", "bow"},
	{"Version", "7 to 16° on average", "CT methods differ by up to 18°", "No normal value is used: both legs by one method.", "turn"},
	{"Leg length", "CT as the ground for correcting (2012)", "blocks under the foot agree better with the patient (2005)", "Both: the number, and the patient standing.", "leg-length"},
	{"Bands of the flare", "3.0 and 4.7 in people (from memory)", "1.8 and 2.5 in dogs (2024)", "Never mixed.", "flare"},
	{"Dynamised bones that united", "94 % (2019)", "77 % pooled, 66 % (2018)", "Given as a range.", "dynamise"},
}
