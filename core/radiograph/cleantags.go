package radiograph

import (
	"bytes"
	"golang.org/x/crypto/blake2s"
	"strings"
)

// describes reports whether an element describes the picture, its size or how
// it is to be shown, and so is kept. It is a list of what stays, not of what
// goes: an entry nobody thought of is blanked.
func describes(t tag) bool {
	if t>>24 == 0x60 && t>>16&1 == 0 { // overlay planes, not their texts
		switch t & 0xFFFF {
		case 0x0010, 0x0011, 0x0015, 0x0040, 0x0050, 0x0051, 0x0100, 0x0102, 0x3000:
			return true
		}
		return false
	}
	switch t {
	case 0x00020001, // how the file is written
		0x00080005, 0x00080008, 0x00080060, 0x00080064, 0x00080068, // letters, kind of image
		0x00120062, // identity is removed
		0x00180015, 0x00181110, 0x00181111, 0x00181114, 0x00181164, 0x00182010, 0x00185101,
		0x00181600, 0x00181602, 0x00181604, 0x00181606, 0x00181608, // shutter
		0x00200020, 0x00200060, 0x00200062, // which way, which side
		0x00280002, 0x00280004, 0x00280006, 0x00280008, 0x00280010, 0x00280011,
		0x00280030, 0x00280034, 0x00280100, 0x00280101, 0x00280102, 0x00280103,
		0x00280106, 0x00280107, 0x00280120, 0x00280121, 0x00280301, 0x00280A02, 0x00280A04,
		0x00281040, 0x00281041, 0x00281050, 0x00281051, 0x00281052, 0x00281053, 0x00281054, 0x00281055, 0x00281056,
		0x00281101, 0x00281102, 0x00281103, 0x00281201, 0x00281202, 0x00281203,
		0x00281221, 0x00281222, 0x00281223,
		0x00282110, 0x00282112, 0x00282114, 0x00283002, 0x00283004, 0x00283006,
		0x20500020,
		0x7FE00001, 0x7FE00002, tagFloat, tagDouble:
		return true
	}
	return false
}

// tables reports whether a sequence holds tables of light and dark, which
// must come through whole.
func tables(t tag) bool { return t == tagModality || t == tagVOI }

// classUID reports whether a UID says what kind of object something is. One
// of the standard's own is kept.
func classUID(t tag) bool { return t == 0x00020002 || t == 0x00080016 || t == 0x00081150 }

const (
	tagSyntax    tag = 0x00020010
	standardRoot     = "1.2.840.10008."
)

// nameUID reports whether an element holds a UID, where the file does not say
// so itself (PS3.6).
func nameUID(t tag) bool {
	switch t {
	case 0x00020002, 0x00020003, 0x00020012, 0x00020100,
		0x00080014, 0x00080016, 0x00080017, 0x00080018, 0x00080058, 0x00081150, 0x00081155, 0x00081167, 0x00081195,
		0x00083010, 0x00089123, 0x00181002, 0x0020000D, 0x0020000E, 0x00200052, 0x00200200, 0x00209161, 0x00209164,
		0x00281199, 0x0040A124, 0x0040A171:
		return true
	}
	return false
}

// personal reports whether a VR has no business in an element that describes
// the picture: names, dates, UIDs and what holds other elements.
func personal(vr string) bool {
	switch vr {
	case "PN", "DA", "DT", "TM", "AS", "AE", "SQ", "UI", "UR":
		return true
	}
	return false
}

// textVR reports whether values of a VR are text, padded with blanks.
func textVR(vr string) bool {
	switch vr {
	case "AE", "AS", "CS", "DA", "DS", "DT", "IS", "LO", "LT", "PN", "SH", "ST", "TM", "UC", "UR", "UT":
		return true
	}
	return false
}

// looksText reports whether a value of unknown VR holds no byte that text of
// any character set lacks.
func looksText(b []byte) bool {
	for _, c := range bytes.TrimRight(b, "\x00") {
		if c < ' ' && c != '\t' && c != '\n' && c != '\f' && c != '\r' && c != 0x1B {
			return false
		}
	}
	return true
}

// keyword names an element: in words if it is one that people know, else by
// its number. All private ones have one name.
func keyword(t tag) string {
	if name, ok := keywords[t]; ok {
		return name
	}
	switch {
	case t>>16&1 == 1:
		return "Private"
	case t>>24 == 0x50:
		return "Curve"
	}
	return t.String()
}

// keywords are those of PS3.6 for what is found in films and is named in
// PS3.15, table E.1-1.
var keywords = map[tag]string{
	0x00020003: "MediaStorageSOPInstanceUID", 0x00020012: "ImplementationClassUID", 0x00020013: "ImplementationVersionName",
	0x00020016: "SourceApplicationEntityTitle", 0x00020017: "SendingApplicationEntityTitle",
	0x00020018: "ReceivingApplicationEntityTitle", 0x00020100: "PrivateInformationCreatorUID", 0x00020102: "PrivateInformation",
	0x00080012: "InstanceCreationDate", 0x00080013: "InstanceCreationTime", 0x00080014: "InstanceCreatorUID",
	0x00080018: "SOPInstanceUID", 0x00080020: "StudyDate", 0x00080021: "SeriesDate", 0x00080022: "AcquisitionDate",
	0x00080023: "ContentDate", 0x0008002A: "AcquisitionDateTime", 0x00080030: "StudyTime", 0x00080031: "SeriesTime",
	0x00080032: "AcquisitionTime", 0x00080033: "ContentTime", 0x00080050: "AccessionNumber", 0x00080070: "Manufacturer",
	0x00080080: "InstitutionName", 0x00080081: "InstitutionAddress", 0x00080090: "ReferringPhysicianName",
	0x00080092: "ReferringPhysicianAddress", 0x00080094: "ReferringPhysicianTelephoneNumbers", 0x00080201: "TimezoneOffsetFromUTC",
	0x00081010: "StationName", 0x00081030: "StudyDescription", 0x0008103E: "SeriesDescription",
	0x00081040: "InstitutionalDepartmentName", 0x00081048: "PhysiciansOfRecord", 0x00081050: "PerformingPhysicianName",
	0x00081060: "NameOfPhysiciansReadingStudy", 0x00081070: "OperatorsName", 0x00081080: "AdmittingDiagnosesDescription",
	0x00081090: "ManufacturerModelName", 0x00081150: "ReferencedSOPClassUID", 0x00081155: "ReferencedSOPInstanceUID",
	0x00082111: "DerivationDescription", 0x00083010: "IrradiationEventUID", 0x00084000: "IdentifyingComments",
	0x00100010: "PatientName", 0x00100020: "PatientID", 0x00100021: "IssuerOfPatientID", 0x00100030: "PatientBirthDate",
	0x00100032: "PatientBirthTime", 0x00100040: "PatientSex", 0x00100050: "PatientInsurancePlanCodeSequence",
	0x00101000: "OtherPatientIDs", 0x00101001: "OtherPatientNames", 0x00101005: "PatientBirthName", 0x00101010: "PatientAge",
	0x00101020: "PatientSize", 0x00101030: "PatientWeight", 0x00101040: "PatientAddress", 0x00101060: "PatientMotherBirthName",
	0x00101090: "MedicalRecordLocator", 0x00102110: "Allergies", 0x00102154: "PatientTelephoneNumbers",
	0x00102160: "EthnicGroup", 0x00102180: "Occupation", 0x001021B0: "AdditionalPatientHistory", 0x001021C0: "PregnancyStatus",
	0x001021F0: "PatientReligiousPreference", 0x00104000: "PatientComments",
	0x00181000: "DeviceSerialNumber", 0x00181002: "DeviceUID", 0x00181004: "PlateID", 0x00181005: "GeneratorID",
	0x00181007: "CassetteID", 0x00181008: "GantryID", 0x00181012: "DateOfSecondaryCapture", 0x00181020: "SoftwareVersions",
	0x00181030: "ProtocolName", 0x00181200: "DateOfLastCalibration", 0x00181400: "AcquisitionDeviceProcessingDescription",
	0x00184000: "AcquisitionComments", 0x0018700A: "DetectorID",
	0x0020000D: "StudyInstanceUID", 0x0020000E: "SeriesInstanceUID", 0x00200010: "StudyID", 0x00200011: "SeriesNumber",
	0x00200013: "InstanceNumber", 0x00200052: "FrameOfReferenceUID", 0x00204000: "ImageComments",
	0x00321032: "RequestingPhysician", 0x00321033: "RequestingService", 0x00321060: "RequestedProcedureDescription",
	0x00324000: "StudyComments", 0x00380010: "AdmissionID", 0x00380300: "CurrentPatientLocation", 0x00380500: "PatientState",
	0x00400006: "ScheduledPerformingPhysicianName", 0x00400241: "PerformedStationAETitle", 0x00400242: "PerformedStationName",
	0x00400244: "PerformedProcedureStepStartDate", 0x00400245: "PerformedProcedureStepStartTime",
	0x00400253: "PerformedProcedureStepID", 0x00400254: "PerformedProcedureStepDescription",
	0x00401001: "RequestedProcedureID", 0x0040A123: "PersonName", 0x0040A124: "UID", 0x00880200: "IconImageSequence",
	0xFFFAFFFA: "DigitalSignaturesSequence", 0xFFFCFFFC: "DataSetTrailingPadding",
}

// cleanUIDs replaces the UIDs of a value in place and reports whether it was
// another. What is no UID goes; the rest is filled with NUL.
func cleanUIDs(t tag, v []byte) bool {
	old := string(v)
	text := strings.TrimRight(old, " \x00")
	parts := strings.Split(text, `\`)
	if classUID(t) && isUID(text) && strings.HasPrefix(text, standardRoot) {
		return false
	}
	for i, p := range parts {
		parts[i] = cleanUID(p)
	}
	clear(v)
	copy(v, strings.Join(parts, `\`))
	return string(v) != old && text != ""
}

func isUID(s string) bool {
	return s != "" && len(s) <= 64 && strings.Trim(s, ".0123456789") == ""
}

const (
	ownRoot   = "2.25." // UIDs that need no registration (PS3.5, B.2)
	sealAt    = len(ownRoot) + 1
	sealLen   = 8
	shortUID  = 20 // a shorter one has no room for ours
	firstPart = 37 // digits: below 2^128, as ITU-T X.667 asks
)

// cleanUID returns the UID that stands for another: of the same length, always
// the same for the same one, made of a hash of the whole, so that neither
// the root of the device's maker nor a number or a date in it is left. Eight of
// its digits seal the others: so ours are known again and are left alone. It
// returns nothing for what is no UID, or too short to be told apart.
func cleanUID(uid string) string {
	n := len(uid)
	if !isUID(uid) || n < shortUID {
		return ""
	}
	out := []byte(uid)
	if sealed(out) {
		return uid
	}
	copy(out, ownRoot)
	copy(out[len(ownRoot):], digits("", []byte(uid)))
	if out[len(ownRoot)] == '0' {
		out[len(ownRoot)] = '1'
	}
	if dot := len(ownRoot) + firstPart; n > dot+1 {
		out[dot] = '.'
		if out[dot+1] == '0' {
			out[dot+1] = '1'
		}
	}
	copy(out[sealAt:], seal(out))
	return string(out)
}

// sealed reports whether a UID is one of ours. One of another maker is taken
// for ours once in a hundred million.
func sealed(uid []byte) bool {
	return bytes.HasPrefix(uid, []byte(ownRoot)) && string(uid[sealAt:sealAt+sealLen]) == string(seal(uid))
}

func seal(uid []byte) []byte {
	rest := append([]byte(nil), uid...)
	copy(rest[sealAt:sealAt+sealLen], "00000000")
	return digits("isthmus seal ", rest)[:sealLen]
}

// digits returns 64 decimal digits of the BLAKE2s-256 hash of a text.
func digits(salt string, b []byte) []byte {
	h := blake2s.Sum256(append([]byte(salt), b...))
	out := make([]byte, 0, 2*len(h))
	for _, c := range h {
		out = append(out, '0'+c%100/10, '0'+c%10)
	}
	return out
}
