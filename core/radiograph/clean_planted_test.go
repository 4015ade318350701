package radiograph

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// marker stands for a patient wherever one can be written.
const marker = "QZXPATIENT"

// markedUID is a UID in which the marker's place is taken by a number.
const markedUID = "1.2.276.0.99.20251125.771177117711"

// identifying lists attributes of films that PS3.15 (2024b), table E.1-1,
// takes out or replaces, and those of PS3.10 and PS3.3 that name a machine.
// The VRs are those of PS3.6.
const identifying = `
00020003 UI MediaStorageSOPInstanceUID|00020016 AE SourceApplicationEntityTitle|00020100 UI PrivateInformationCreatorUID
00020102 OB PrivateInformation|00080012 DA InstanceCreationDate|00080013 TM InstanceCreationTime|00080014 UI InstanceCreatorUID
00080018 UI SOPInstanceUID|00080020 DA StudyDate|00080021 DA SeriesDate|00080022 DA AcquisitionDate|00080023 DA ContentDate
00080024 DA OverlayDate|0008002A DT AcquisitionDateTime|00080030 TM StudyTime|00080031 TM SeriesTime|00080032 TM AcquisitionTime
00080033 TM ContentTime|00080050 SH AccessionNumber|00080054 AE RetrieveAETitle|00080058 UI FailedSOPInstanceUIDList
00080080 LO InstitutionName|00080081 ST InstitutionAddress|00080090 PN ReferringPhysicianName|00080092 ST ReferringPhysicianAddress
00080094 SH ReferringPhysicianTelephoneNumbers|0008009C PN ConsultingPhysicianName|00080201 SH TimezoneOffsetFromUTC
00081010 SH StationName|00081030 LO StudyDescription|0008103E LO SeriesDescription|00081040 LO InstitutionalDepartmentName
00081048 PN PhysiciansOfRecord|00081050 PN PerformingPhysicianName|00081060 PN NameOfPhysiciansReadingStudy
00081070 PN OperatorsName|00081080 LO AdmittingDiagnosesDescription|00081090 LO ManufacturerModelName
00081155 UI ReferencedSOPInstanceUID|00081195 UI TransactionUID|00082111 ST DerivationDescription|00083010 UI IrradiationEventUID
00084000 LT IdentifyingComments|00089123 UI CreatorVersionUID|00100010 PN PatientName|00100020 LO PatientID|00100021 LO IssuerOfPatientID
00100030 DA PatientBirthDate|00100032 TM PatientBirthTime|00100040 CS PatientSex|00101000 LO OtherPatientIDs|00101001 PN OtherPatientNames
00101005 PN PatientBirthName|00101010 AS PatientAge|00101020 DS PatientSize|00101030 DS PatientWeight|00101040 LO PatientAddress
00101050 LO InsurancePlanIdentification|00101060 PN PatientMotherBirthName|00101080 LO MilitaryRank|00101081 LO BranchOfService
00101090 LO MedicalRecordLocator|00102000 LO MedicalAlerts|00102110 LO Allergies|00102150 LO CountryOfResidence|00102152 LO RegionOfResidence
00102154 SH PatientTelephoneNumbers|00102155 LT PatientTelecomInformation|00102160 SH EthnicGroup|00102180 SH Occupation
001021A0 CS SmokingStatus|001021B0 LT AdditionalPatientHistory|001021C0 US PregnancyStatus|001021D0 DA LastMenstrualDate
001021F0 LO PatientReligiousPreference|00102203 CS PatientSexNeutered|00102297 PN ResponsiblePerson|00102299 LO ResponsibleOrganization
00104000 LT PatientComments|00120010 LO ClinicalTrialSponsorName|00120020 LO ClinicalTrialProtocolID|00120040 LO ClinicalTrialSubjectID
00160070 OB GPSVersionID|00160072 DS GPSLatitude|0016002B OB MakerNote|00180010 LO ContrastBolusAgent|00181000 LO DeviceSerialNumber
00181002 UI DeviceUID|00181004 LO PlateID|00181005 LO GeneratorID|00181007 LO CassetteID|00181008 LO GantryID|00181012 DA DateOfSecondaryCapture
00181030 LO ProtocolName|00181200 DA DateOfLastCalibration|00181400 LO AcquisitionDeviceProcessingDescription|00184000 LT AcquisitionComments
0018700A SH DetectorID|00189074 DT FrameAcquisitionDateTime|00189424 LT AcquisitionProtocolDescription|0018A003 ST ContributionDescription
0020000D UI StudyInstanceUID|0020000E UI SeriesInstanceUID|00200010 SH StudyID|00200052 UI FrameOfReferenceUID
00200200 UI SynchronizationFrameOfReferenceUID|00203401 CS ModifyingDeviceID|00203404 LO ModifyingDeviceManufacturer
00203406 LO ModifiedImageDescription|00204000 LT ImageComments|00209158 LT FrameComments|00209161 UI ConcatenationUID
00209164 UI DimensionOrganizationUID|00281199 UI PaletteColorLookupTableUID|00284000 LT ImagePresentationComments
00320012 LO StudyIDIssuer|00321020 LO ScheduledStudyLocation|00321021 AE ScheduledStudyLocationAETitle|00321030 LO ReasonForStudy
00321032 PN RequestingPhysician|00321033 LO RequestingService|00321060 LO RequestedProcedureDescription|00321070 LO RequestedContrastAgent
00324000 LT StudyComments|00380010 LO AdmissionID|00380011 LO IssuerOfAdmissionID|00380020 DA AdmittingDate|00380021 TM AdmittingTime
00380040 LO DischargeDiagnosisDescription|00380050 LO SpecialNeeds|00380060 LO ServiceEpisodeID|00380062 LO ServiceEpisodeDescription
00380300 LO CurrentPatientLocation|00380400 LO PatientInstitutionResidence|00380500 LO PatientState|00384000 LT VisitComments
00400001 AE ScheduledStationAETitle|00400006 PN ScheduledPerformingPhysicianName|00400007 LO ScheduledProcedureStepDescription
00400009 SH ScheduledProcedureStepID|00400010 SH ScheduledStationName|00400011 SH ScheduledProcedureStepLocation|00400012 LO PreMedication
00400241 AE PerformedStationAETitle|00400242 SH PerformedStationName|00400243 SH PerformedLocation|00400244 DA PerformedProcedureStepStartDate
00400253 SH PerformedProcedureStepID|00400254 LO PerformedProcedureStepDescription|00400280 ST CommentsOnThePerformedProcedureStep
00401001 SH RequestedProcedureID|00401004 LO PatientTransportArrangements|00401005 LO RequestedProcedureLocation
00401010 PN NamesOfIntendedRecipientsOfResults|00401102 ST PersonAddress|00401103 LO PersonTelephoneNumbers|00401400 LT RequestedProcedureComments
00402001 LO ReasonForTheImagingServiceRequest|00402008 PN OrderEnteredBy|00402009 SH OrderEntererLocation|00402010 SH OrderCallbackPhoneNumber
00402016 LO PlacerOrderNumber|00402017 LO FillerOrderNumber|00402400 LT ImagingServiceRequestComments|00403001 LO ConfidentialityConstraint
00404025 SH ScheduledStationName|00404037 PN HumanPerformerName|0040A027 LO VerifyingOrganization|0040A123 PN PersonName|0040A124 UI UID
0040A160 UT TextValue|00500021 UT LongDeviceDescription|00700084 PN ContentCreatorName|00880140 UI StorageMediaFileSetUID
00880904 LO TopicTitle|00880906 ST TopicSubject|04000100 UI DigitalSignatureUID|04000115 OB CertificateOfSigner|04000403 SH MACID
20300020 LO TextString|21000070 AE Originator|40080040 SH ResultsID|4008010B ST InterpretationText|40084000 ST ResultsComments
50000022 LO CurveDescription|50003000 OW CurveData|60000022 LO OverlayDescription|60001500 LO OverlayLabel|60004000 LT OverlayComments`

// A filmWriter writes elements in one of the ways of PS3.5.
type filmWriter struct {
	b             []byte
	implicit, big bool
}

func (w *filmWriter) put(t tag, vr string, v []byte) {
	if len(v)%2 == 1 {
		v = append(slices.Clip(v), 0)
	}
	w.head(t, vr, uint32(len(v)))
	w.b = append(w.b, v...)
}

func (w *filmWriter) head(t tag, vr string, n uint32) {
	order := binary.AppendByteOrder(binary.LittleEndian)
	if w.big {
		order = binary.BigEndian
	}
	w.b = order.AppendUint16(order.AppendUint16(w.b, uint16(t>>16)), uint16(t))
	switch {
	case w.implicit || t>>16 == 0xFFFE:
		w.b = order.AppendUint32(w.b, n)
	case longVR(vr):
		w.b = order.AppendUint32(append(append(w.b, vr...), 0, 0), n)
	default:
		w.b = order.AppendUint16(append(w.b, vr...), uint16(n))
	}
}

func (w *filmWriter) number(t tag, v int) {
	order := binary.ByteOrder(binary.LittleEndian)
	if w.big {
		order = binary.BigEndian
	}
	b := make([]byte, 2)
	order.PutUint16(b, uint16(v))
	w.put(t, "US", b)
}

// marked fills a value with the marker, whatever its VR.
func (w *filmWriter) marked(t tag, vr string) {
	v := marker
	if vr == "UI" {
		v = markedUID
	}
	w.put(t, vr, []byte(v))
}

// sequence writes one item of open or known length.
func (w *filmWriter) sequence(t tag, vr string, open bool, body func(*filmWriter)) {
	in := &filmWriter{implicit: w.implicit, big: w.big}
	body(in)
	if open {
		w.head(t, vr, undefined)
		w.head(tagItem, "", undefined)
		w.b = append(w.b, in.b...)
		w.head(tagItemEnd, "", 0)
		w.head(tagSeqEnd, "", 0)
		return
	}
	w.head(t, vr, uint32(len(in.b)+8))
	w.head(tagItem, "", uint32(len(in.b)))
	w.b = append(w.b, in.b...)
}

// picture writes an 8 × 8 film and what follows it.
func (w *filmWriter) picture() {
	for _, n := range []struct {
		t tag
		v int
	}{{0x00280002, 1}, {0x00280010, 8}, {0x00280011, 8}, {0x00280100, 16}, {0x00280101, 12}, {0x00280102, 11}, {0x00280103, 0}} {
		w.number(n.t, n.v)
	}
	w.put(0x00280004, "CS", []byte("MONOCHROME2"))
	w.put(0x00280030, "DS", []byte(`0.143\0.143`))
	w.put(0x00280A04, "LO", []byte("25 mm ball"))
	pix := make([]byte, 128)
	for i := range pix {
		pix[i] = byte(i & 7)
	}
	w.put(tagPixels, "OW", pix)
}

// whole puts preamble, meta group and data set together.
func whole(uid string, meta, data []byte) []byte {
	b := append(bytes.Repeat([]byte(marker), 13)[:128], "DICM"...)
	b = append(put(b, 0x00020010, "UI", []byte(uid+"\x00")), meta...)
	return append(b, data...)
}

// sample16 is a sound film with more elements at its start.
func sample16(uid string, extra []byte) []byte {
	w := &filmWriter{}
	w.put(0x00080060, "CS", []byte("DX"))
	w.b = append(w.b, extra...)
	w.picture()
	return whole(uid, nil, w.b)
}

type attribute struct {
	t    tag
	vr   string
	name string
}

func attributes(t testing.TB) []attribute {
	t.Helper()
	var out []attribute
	for _, line := range strings.FieldsFunc(identifying, func(r rune) bool { return r == '|' || r == '\n' }) {
		f := strings.Fields(line)
		n := uint32(0)
		for _, c := range f[0] {
			n = n<<4 | uint32(strings.IndexRune("0123456789ABCDEF", c))
		}
		out = append(out, attribute{tag(n), f[1], f[2]})
	}
	if len(out) < 180 {
		t.Fatalf("%d identifying attributes, want at least 180", len(out))
	}
	return out
}

// plant writes a film with the marker wherever a person can be written.
func plant(t testing.TB, uid string, all []attribute) []byte {
	t.Helper()
	at := syntaxOf(uid)
	meta, w := &filmWriter{}, &filmWriter{implicit: at.implicit, big: at.big}
	w.put(0x00080060, "CS", []byte("DX"))
	everything := func(w *filmWriter) {
		for _, a := range all {
			w.marked(a.t, a.vr)
		}
	}
	for _, a := range all {
		if a.t>>16 == 2 {
			meta.marked(a.t, a.vr)
		} else {
			w.marked(a.t, a.vr)
		}
	}
	private := func(w *filmWriter) {
		w.marked(0x00290010, "LO")
		for i, vr := range []string{"LO", "UN", "OB", "PN", "UT", "US", "FD", "UI", "??"} {
			w.marked(tag(0x00291000+i), vr)
		}
	}
	private(w)
	for i, open := range []bool{true, false} {
		w.sequence(tag(0x00081110+i), "SQ", open, everything)
		w.sequence(tag(0x00400275+i), "SQ", open, func(w *filmWriter) {
			w.sequence(0x00400008, "SQ", !open, func(w *filmWriter) { w.sequence(0x00401101, "SQ", open, everything) })
			private(w)
		})
		w.sequence(tag(0x00290020+i), "UN", open, private)
	}
	for i, open := range []bool{true, false} {
		w.sequence(0x00880200, "SQ", open, func(w *filmWriter) {
			if i == 0 {
				w.put(tagPixels, "OB", []byte(marker))
			}
			w.head(tagPixels, "OB", undefined)
			w.put(tagItem, "", nil)
			w.put(tagItem, "", []byte(marker))
			w.head(tagSeqEnd, "", 0)
		})
	}
	w.put(0x00290030, "SQ", []byte("not a sequence, and "+marker))
	w.put(0x00290031, "UN", append(slices.Clone(itemLE), "not an item, and "+marker...))
	w.picture()
	w.sequence(0xFFFAFFFA, "SQ", true, everything)
	w.put(0xFFFCFFFC, "OB", []byte(marker))
	w.b = append(w.b, marker...)
	if !at.deflated {
		return whole(uid, meta.b, w.b)
	}
	packed, err := deflate(nil, w.b)
	if err != nil {
		t.Fatal(err)
	}
	return append(whole(uid, meta.b, packed), marker...)
}

func planted(t testing.TB) [][]byte {
	var out [][]byte
	for _, uid := range []string{explicitLE, implicitLE, explicitBE, "1.2.840.10008.1.2.1.99"} {
		out = append(out, plant(t, uid, attributes(t)))
	}
	return out
}

// The planted patient is nowhere in the clean film, and the picture is there.
func TestCleanPlanted(t *testing.T) {
	for _, file := range planted(t) {
		h, err := ReadHeader(file)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(h.SyntaxName, func(t *testing.T) {
			clean, removed, err := Clean(file)
			if err != nil {
				t.Fatal(err)
			}
			checkClean(t, file, clean)
			samePicture(t, file, clean)
			before, after := plain(t, file), plain(t, clean)
			for _, m := range []string{marker, markedUID, marker[:4], "771177"} {
				if !bytes.Contains(before, []byte(m)) {
					t.Fatalf("%s was never in the film", m)
				}
				if at := bytes.Index(after, []byte(m)); at >= 0 {
					t.Errorf("%s is still there, at %d: …%q…", m, at, after[max(at-24, 0):at])
				}
			}
			// Big endian words would show it with its letters swapped.
			if bytes.Contains(after, []byte("ZQPXTAEITN")) {
				t.Error("the marker is there as words")
			}
			said := strings.Join(removed, " ")
			for _, name := range []string{"FilePreamble", "PatientName", "PatientID", "StudyInstanceUID", "InstitutionName", "IconImageSequence", "Private", "TrailingData"} {
				if !slices.Contains(removed, name) && (name != "TrailingData" || h.SyntaxName != "deflated") {
					t.Errorf("%s is not told: %s", name, said)
				}
			}
			if strings.Contains(said, marker) {
				t.Errorf("a value is told: %s", said)
			}
		})
	}
}

// plain returns a file with its data set inflated, if it was deflated.
func plain(t *testing.T, b []byte) []byte {
	t.Helper()
	f := &dicom{}
	pos, uid, err := f.meta(b)
	if err != nil {
		t.Fatal(err)
	}
	if !syntaxOf(uid).deflated {
		return b
	}
	data := bytes.NewReader(b[pos:])
	out, err := io.ReadAll(flate.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return slices.Concat(b[:pos], out, b[len(b)-data.Len():])
}

// What is not known to describe the picture is blanked, whatever its number:
// an entry that nobody thought of does not pass. Names of ours are those of
// the table above.
func TestCleanKeepsOnlyTheList(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	w := &filmWriter{implicit: true}
	w.put(0x00080060, "CS", []byte("DX"))
	kept := 0
	for range 20_000 {
		tg := tag(r.Uint32())
		if r.Intn(2) == 0 { // where films have most
			tg = tag([]uint32{0x0008, 0x0010, 0x0018, 0x0020, 0x0040, 0x6002}[r.Intn(6)]<<16 | uint32(r.Intn(1<<16)))
		}
		if tg>>16 == 0xFFFE || tg == tagPixels || tg == tagSyntax || tables(tg) {
			continue
		}
		if describes(tg) {
			kept++
			continue
		}
		w.put(tg, "", []byte(marker))
	}
	w.picture()
	clean, _, err := Clean(whole(implicitLE, nil, w.b))
	if err != nil {
		t.Fatal(err)
	}
	if at := bytes.Index(clean, []byte(marker)); at >= 0 {
		t.Errorf("the marker is kept in the element at %x", clean[at-8:at])
	}
	if kept > 40 {
		t.Errorf("%d of 20,000 random elements are kept: the list is no list", kept)
	}
	for _, a := range attributes(t) {
		if describes(a.t) {
			t.Errorf("%v %s is kept", a.t, a.name)
		}
		if name, ok := keywords[a.t]; ok && name != a.name {
			t.Errorf("%v is called %s, want %s", a.t, name, a.name)
		}
	}
}

// Comments in the compressed streams of a picture go, its samples do not; and
// a comment that runs over two pieces goes too.
func TestCleanComments(t *testing.T) {
	pix := film(9, 7, 12)
	stream := packLossless(pix, 9, 7, 12, 1, 0)
	note := func(mark byte, s string) []byte { return append([]byte{0xFF, mark, 0, byte(len(s) + 2)}, s...) }
	noted := slices.Concat(stream[:2], note(0xFE, marker), note(0xE1, "Exif\x00\x00"+marker), note(0xED, marker), note(0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x00"), stream[2:], []byte(marker))
	one := makeDICOM("1.2.840.10008.1.2.4.57", 9, 7, 12, nil, noted)
	two := makeDICOM("1.2.840.10008.1.2.4.57", 9, 7, 12, nil, noted[:12])
	rest := noted[12:]
	if len(rest)%2 == 1 {
		rest = append(rest, 0)
	}
	two = append(two[:len(two)-8], 0xFE, 0xFF, 0x00, 0xE0)
	two = append(binary.LittleEndian.AppendUint32(two, uint32(len(rest))), rest...)
	two = append(two, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0)
	for name, file := range map[string][]byte{"one piece": one, "two pieces": two} {
		clean, removed, err := Clean(file)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if bytes.Contains(clean, []byte("PATIENT")) || bytes.Contains(clean, []byte("QZX")) || !slices.Contains(removed, "Comment") {
			t.Errorf("%s: the comment is still there (%v)", name, removed)
		}
		if !bytes.Contains(clean, []byte("Adobe")) {
			t.Errorf("%s: how colours are stored is gone", name)
		}
		checkClean(t, file, clean)
		im, err := Open(clean, Options{})
		if err != nil || !slices.Equal(im.Pix, pix) {
			t.Errorf("%s: %v", name, err)
		}
	}
	j2k := slices.Concat([]byte{0xFF, 0x4F}, note(0x51, "size of the picture"), note(0x64, "\x00\x01"+marker), []byte("\xFF\x90\x00\x0Atile"))
	clean, _, err := Clean(makeDICOM("1.2.840.10008.1.2.4.90", 9, 7, 12, nil, j2k))
	if err != nil || bytes.Contains(clean, []byte(marker)) || !bytes.Contains(clean, []byte("size of the picture")) {
		t.Errorf("JPEG 2000: %v, comment %v", err, bytes.Contains(clean, []byte(marker)))
	}
}

// plantedJPEG is a photo with the marker in every segment that can hold text.
func plantedJPEG(t testing.TB) []byte {
	file := testkit.Read(t, "films/real/331_DDH_1.jpg")
	seg := func(mark byte, s string) string {
		return string([]byte{0xFF, mark, byte((len(s) + 2) >> 8), byte(len(s) + 2)}) + s
	}
	exif := string(minimalExif(6, true)[4:])
	gps := strings.Replace(exif, "\x00\x01\x01\x12", "\x00\x02\x01\x12", 1)
	gps = gps[:len(gps)-4] + "\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x26\x00\x00\x00\x00" + marker
	start := "\xFF\xD8" + seg(0xE0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x01\x04"+marker+"AB") + seg(0xE0, "JFXX\x00\x10"+marker) +
		seg(0xE1, gps) + seg(0xE1, "http://ns.adobe.com/xap/1.0/\x00"+marker) + seg(0xE2, "MPF\x00"+marker) + seg(0xE5, marker) +
		seg(0xED, "Photoshop 3.0\x00"+marker) + seg(0xFE, marker) + seg(0xE2, "ICC_PROFILE\x00\x01\x01a profile") + "stray" + marker
	return append(append([]byte(start), file[2:]...), marker...)
}

func TestCleanJPEG(t *testing.T) {
	file := plantedJPEG(t)
	clean, removed, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	checkClean(t, file, clean)
	samePicture(t, file, clean)
	for _, gone := range []string{marker, "http", "MPF", "JFXX", "Photoshop", "\x88\x25\x00\x04", "stray"} {
		if !bytes.Contains(file, []byte(gone)) || bytes.Contains(clean, []byte(gone)) {
			t.Errorf("%q: was there %v, is %v", gone, bytes.Contains(file, []byte(gone)), bytes.Contains(clean, []byte(gone)))
		}
	}
	for _, kept := range []string{"JFIF", "ICC_PROFILE", "Exif\x00\x00MM"} {
		if !bytes.Contains(clean, []byte(kept)) {
			t.Errorf("%q is gone", kept)
		}
	}
	if h, err := ReadHeader(clean); err != nil || h.Orientation != 6 {
		t.Errorf("orientation %d, %v, want 6", h.Orientation, err)
	}
	if got, want := strings.Join(removed, " "), "Thumbnail EXIF XMP APP02 APP05 IPTC Comment TrailingData"; got != want {
		t.Errorf("removed %s, want %s", got, want)
	}
}

// A photo whose note of what is up cannot be read still says so when clean.
func TestCleanKeepsTheDoubt(t *testing.T) {
	file := testkit.Read(t, "broken/films/exif_broken.jpg")
	clean, _, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	if h, err := ReadHeader(clean); err != nil || !noted(h, OrientUnread) {
		t.Errorf("%v, %v", h.Warnings, err)
	}
}

// The photo of the folder: its place on earth is in it and goes, its scan
// stays byte for byte.
func TestCleanPhoto(t *testing.T) {
	file := testkit.Read(t, "films/photo/o6.jpg")
	clean, removed, err := Clean(file)
	if err != nil || len(removed) != 1 || removed[0] != "EXIF" {
		t.Fatalf("%v, removed %v", err, removed)
	}
	gps := []byte{0x88, 0x25, 0x00, 0x04} // GPS directory, LONG (Exif 2.3, 4.6.3)
	if !bytes.Contains(file[:260], gps) || bytes.Contains(clean[:260], gps) || bytes.Contains(clean, []byte("TestPhone")) {
		t.Error("the place was not there, or is still there")
	}
	scan := file[bytes.Index(file, []byte{0xFF, 0xDB}):]
	if !bytes.HasSuffix(clean, scan) {
		t.Error("the picture is another")
	}
}

// plantedPNG is a picture with the marker in every chunk that can hold text.
func plantedPNG(t testing.TB) []byte {
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewGray16(image.Rect(0, 0, 8, 8))); err != nil {
		t.Fatal(err)
	}
	file := out.Bytes()
	chunk := func(kind, body string) []byte {
		b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
		b = append(append(b, kind...), body...)
		return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
	}
	b := slices.Clone(file[:33]) // signature and IHDR
	for _, kind := range []string{"tEXt", "zTXt", "iTXt", "eXIf", "tIME", "sPLT", "prVt", "abCd"} {
		b = append(b, chunk(kind, kind+marker)...)
	}
	b = append(b, chunk("pHYs", "\x00\x00\x0B\x13\x00\x00\x0B\x13\x01")...)
	return append(append(b, file[33:]...), marker...)
}

func TestCleanPNG(t *testing.T) {
	file := plantedPNG(t)
	clean, removed, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	checkClean(t, file, clean)
	samePicture(t, file, clean)
	for _, gone := range []string{marker, "tEXt", "zTXt", "iTXt", "eXIf", "tIME", "sPLT", "prVt"} {
		if !bytes.Contains(file, []byte(gone)) || bytes.Contains(clean, []byte(gone)) {
			t.Errorf("%s: was there %v, is %v", gone, bytes.Contains(file, []byte(gone)), bytes.Contains(clean, []byte(gone)))
		}
	}
	if !bytes.Contains(clean, []byte("pHYs\x00\x00\x0B\x13")) || !slices.Contains(removed, "tEXt") || !slices.Contains(removed, "Private") || !slices.Contains(removed, "TrailingData") {
		t.Errorf("pHYs is gone, or it is not told: %v", removed)
	}
}
