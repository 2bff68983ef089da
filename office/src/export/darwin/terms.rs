//! The tables of the archive and their columns, each with the IRI of its term.

const DWC: &str = "http://rs.tdwg.org/dwc/terms/";
const ECO: &str = "http://rs.tdwg.org/eco/terms/";
const AC: &str = "http://rs.tdwg.org/ac/terms/";
const DC: &str = "http://purl.org/dc/elements/1.1/";
const DCTERMS: &str = "http://purl.org/dc/terms/";
const XMP: &str = "http://ns.adobe.com/xap/1.0/";
const XMP_RIGHTS: &str = "http://ns.adobe.com/xap/1.0/rights/";

/// One table of the archive. Its first column is the number of the event.
pub struct Sheet {
    /// Name of the file.
    pub file: &'static str,
    row: (&'static str, &'static str),
    columns: &'static [(&'static str, &'static str)],
}

impl Sheet {
    /// IRI of what a row is.
    pub fn row_type(&self) -> String {
        format!("{}{}", self.row.0, self.row.1)
    }

    /// IRIs of the columns behind the first.
    pub fn terms(&self) -> impl Iterator<Item = String> + '_ {
        self.columns.iter().map(|(space, name)| format!("{space}{name}"))
    }

    /// Headings, with that of the first column.
    pub fn headings(&self) -> Vec<String> {
        let names = self.columns.iter().map(|(_, name)| (*name).to_owned());
        ["id".to_owned()].into_iter().chain(names).collect()
    }
}

/// Visits: the core.
pub const EVENT: Sheet = Sheet {
    file: "event.csv",
    row: (DWC, "Event"),
    columns: &[
        (DWC, "eventID"),
        (DWC, "eventDate"),
        (DWC, "samplingProtocol"),
        (DWC, "sampleSizeValue"),
        (DWC, "sampleSizeUnit"),
        (DWC, "samplingEffort"),
        (DWC, "countryCode"),
        (DWC, "county"),
        (DWC, "municipality"),
        (DWC, "locationID"),
        (DWC, "footprintWKT"),
        (DWC, "footprintSRS"),
        (DWC, "datasetName"),
        (DCTERMS, "license"),
        (DCTERMS, "rightsHolder"),
        (DWC, "informationWithheld"),
        (DWC, "dataGeneralizations"),
    ],
};

/// Living causes, present or absent.
pub const OCCURRENCE: Sheet = Sheet {
    file: "occurrence.csv",
    row: (DWC, "Occurrence"),
    columns: &[
        (DWC, "occurrenceID"),
        (DWC, "basisOfRecord"),
        (DWC, "occurrenceStatus"),
        (DWC, "scientificName"),
        (DWC, "taxonRank"),
        (DWC, "kingdom"),
        (DWC, "vernacularName"),
        (DWC, "taxonID"),
        (DWC, "associatedTaxa"),
        (DWC, "organismID"),
        (DWC, "identificationQualifier"),
        (DWC, "identificationVerificationStatus"),
        (DWC, "dateIdentified"),
        (DWC, "identificationReferences"),
        (DWC, "identificationRemarks"),
        (DWC, "occurrenceRemarks"),
    ],
};

/// Effort and reported absence of each visit.
pub const HUMBOLDT: Sheet = Sheet {
    file: "humboldt.csv",
    row: (ECO, "Event"),
    columns: &[
        (ECO, "isSamplingEffortReported"),
        (ECO, "samplingEffortValue"),
        (ECO, "samplingEffortUnit"),
        (ECO, "targetTaxonomicScope"),
        (ECO, "isTaxonomicScopeFullyReported"),
        (ECO, "isAbsenceReported"),
        (ECO, "absentTaxa"),
    ],
};

/// Photos.
pub const MULTIMEDIA: Sheet = Sheet {
    file: "multimedia.csv",
    row: (AC, "Multimedia"),
    columns: &[
        (DCTERMS, "identifier"),
        (DCTERMS, "type"),
        (AC, "accessURI"),
        (DC, "format"),
        (AC, "hashFunction"),
        (AC, "hashValue"),
        (XMP, "CreateDate"),
        (AC, "subjectPartLiteral"),
        (AC, "associatedObservationReference"),
        (DCTERMS, "rights"),
        (XMP_RIGHTS, "UsageTerms"),
        (XMP_RIGHTS, "Owner"),
    ],
};

/// Every table, the core first.
pub const SHEETS: [&Sheet; 4] = [&EVENT, &OCCURRENCE, &HUMBOLDT, &MULTIMEDIA];
