package source

var nailMethods = []Method{
	{
		Key: "nail-length", Part: Nail, Title: "Length of the nail",
		Formula: "room = length of the bone − burial\nnail = the longest in stock with length ≤ room",
		Inputs:  []string{"length of the bone, tip to target, in mm", "burial of the top below the tip, 5 mm", "the shelf"},
		Limits:  "Rounded down, never up; the next longer is shown with its chance. Refuses a room outside 230 to 600 mm. Nails that the canal does not let through do not count. Pulled apart when measured, the bone reads too long.",
		Sources: []Key{CommonUse, FemurCT2015, GUM},
		Check:   "Bone 420 mm: room 415 mm, nail 400 mm in steps of 20. A room of 399.9 mm: nail 380 mm.",
		Code:    []string{"plan.LengthFrom", "plan.chooseNail"},
	},
	{
		Key: "nail-diameter", Part: Nail, Title: "Diameter of the nail",
		Formula: "nail = the thickest in stock with nail ≤ canal\nelse nail ≤ canal + most to ream off − last head over the nail",
		Inputs:  []string{"canal at the isthmus, in mm", "most to ream off a tight canal, 1.5 mm", "last head over the nail, 1.0 mm", "the shelf"},
		Limits:  "Refuses a canal outside 5 to 25 mm. Where the canal is too tight for every nail it says how much more bone would go. No default by sex.",
		Sources: []Key{CommonUse, AOReaming, HeatMemory, Isthmus2015},
		Check:   "Canal 10.6 mm: nail 10 mm. Canal 8.6 mm, thinnest nail 9 mm: 8.6 + 1.5 − 1.0 = 9.1, so nail 9 mm and 1.4 mm reamed off.",
		Code:    []string{"plan.DiameterFrom", "plan.roomFor"},
	},
	{
		Key: "nail-fit", Part: Nail, Title: "How much of the canal the nail fills",
		Formula: "fit = nail / canal",
		Inputs:  []string{"diameter of the nail, in mm", "canal at the isthmus, in mm"},
		Limits:  "Under 0.70 it is a caution and never more: sources disagree whether it matters.",
		Sources: []Key{NailFit2018, NailFit2022},
		Check:   "10 in 14 mm: 0.714, no caution. 9 in 14 mm: 0.643, a caution.",
		Code:    []string{"plan.fit"},
	},
	{
		Key: "reamers", Part: Reaming, Title: "Reamer heads in their order",
		Formula: "first head, then + 0.5 mm each, to nail + 1.0 mm",
		Inputs:  []string{"diameter of the nail, in mm", "canal at the isthmus, in mm, where it is known", "first head 8.5, step 0.5, last head over the nail 1.0, in mm"},
		Limits:  "The last head is always nail + 1.0 mm. In a canal narrower than the first head the list starts with the largest head on the same steps that enters it. Chatter is told from the first head wider than the canal, tight from the first that takes more than 1.5 mm off; what is felt at the table goes before both. A head that the shelf lacks is named.",
		Sources: []Key{AOReaming, CommonUse},
		Check:   "Nail 10 mm: 8.5, 9.0, 9.5, 10.0, 10.5, 11.0. In a canal of 8.2 mm it starts with 8.0.",
		Code:    []string{"plan.ReamingFor", "plan.firstHead"},
	},
	{
		Key: "narrow", Part: Reaming, Title: "Narrow canal",
		Formula: "caution at canal ≤ 9 mm, a graver one at canal < 8 mm",
		Inputs:  []string{"canal at the isthmus, in mm"},
		Limits:  "Heat of the reamer, and bone that bursts. The limits are from memory; change them in the policy.",
		Sources: []Key{HeatMemory},
		Check:   "9.0 mm: caution. 7.9 mm: the graver one. 9.1 mm: none.",
		Code:    []string{"plan.narrow"},
	},
}
