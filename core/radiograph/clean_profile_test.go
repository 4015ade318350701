package radiograph

import (
	"strings"
	"testing"
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
