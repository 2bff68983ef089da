"""Opens the exports that the office's tests leave, with readers that are not ours, and holds them against what was written.

`cargo xtask test` does it all; by hand:

    python -m venv VENV && VENV/bin/pip install -r tests/readers/requirements.txt
    cargo test -p dooryard-office --test export          # leaves target/tmp/exports
    VENV/bin/python tests/readers/read_exports.py

EXPORTS names another folder than target/tmp/exports. SDD_SCHEMA names a copy of the standard's own SDD.xsd (version 1.1, with
the files beside it): then the vocabulary is held against it, too.
"""

import json
import os
import sys
import unittest
from pathlib import Path

import geojson_validator
import openpyxl
from dwca.darwincore.utils import qualname
from dwca.read import DwCAReader
from lxml import etree

HERE = Path(__file__).resolve().parent
EXPORTS = Path(os.environ.get("EXPORTS", HERE.parent.parent / "target" / "tmp" / "exports"))
ECO = "http://rs.tdwg.org/eco/terms/"
AC = "http://rs.tdwg.org/ac/terms/"


def about(form):
    return json.loads((EXPORTS / f"{form}.about.json").read_text(encoding="utf-8"))


class Archive(unittest.TestCase):
    def setUp(self):
        self.archive = DwCAReader(str(EXPORTS / "archive.zip"))
        self.addCleanup(self.archive.close)

    def test_events_are_the_core_and_every_row_hangs_on_one(self):
        self.assertEqual(self.archive.descriptor.core.type, qualname("Event"))
        events = list(self.archive)
        self.assertEqual(len(events), about("archive")["rows"]["events"])
        self.assertEqual(self.archive.orphaned_extension_rows(), {
            "occurrence.csv": {}, "humboldt.csv": {}, "multimedia.csv": {},
        })

    def extension(self, row_type):
        return [row.data for event in self.archive for row in event.extensions if row.rowtype == row_type]

    def test_present_and_absent_are_told_apart_and_absence_is_reported(self):
        occurrences = self.extension(qualname("Occurrence"))
        self.assertEqual(len(occurrences), about("archive")["rows"]["occurrences"])
        status = [o[qualname("occurrenceStatus")] for o in occurrences]
        self.assertEqual((status.count("present"), status.count("absent")), (1, 1))
        self.assertEqual({o[qualname("basisOfRecord")] for o in occurrences}, {"HumanObservation"})
        self.assertTrue(all(o[qualname("scientificName")] for o in occurrences))
        efforts = self.extension(ECO + "Event")
        self.assertEqual(sorted(e[ECO + "isAbsenceReported"] for e in efforts), ["false", "true"])

    def test_photos_are_in_the_archive_under_the_names_that_are_given(self):
        photos = self.extension(AC + "Multimedia")
        self.assertEqual(len(photos), 1)
        place = self.archive.absolute_temporary_path(photos[0][AC + "accessURI"])
        self.assertEqual(Path(place).read_bytes()[:4], b"\x89PNG")

    def test_metadata_name_the_office_the_licence_and_the_denominators(self):
        metadata = self.archive.metadata
        self.assertEqual(metadata.find("dataset/creator/organizationName").text, "Larkspur County")
        self.assertIn("creativecommons.org", metadata.find("dataset/intellectualRights/para").text)
        told = " ".join(p.text for p in metadata.findall("dataset/abstract/para"))
        self.assertIn('"written":2', told)


class Map(unittest.TestCase):
    def test_every_map_is_strictly_geojson(self):
        for name in ("cells", "townships"):
            map_ = json.loads((EXPORTS / f"{name}.geojson").read_text(encoding="utf-8"))
            self.assertEqual(geojson_validator.validate_structure(map_), {})
            found = geojson_validator.validate_geometries(map_)
            self.assertEqual((found["invalid"], found["problematic"]), ({}, {}))
            kinds = {f["geometry"]["type"] for f in map_["features"] if f["geometry"]}
            self.assertTrue(kinds and kinds <= {"Polygon", "MultiPolygon"}, kinds)


class Spreadsheet(unittest.TestCase):
    def test_every_table_is_there_with_its_rows_its_types_and_a_frozen_head(self):
        book = openpyxl.load_workbook(EXPORTS / "tables.xlsx")
        for table, rows in about("tables")["rows"].items():
            sheet = book[table]
            self.assertEqual(sheet.max_row - 1, rows, table)
            self.assertEqual(sheet.freeze_panes, "A2", table)
            for row in sheet.iter_rows():
                self.assertTrue(all(cell.data_type != "f" for cell in row), f"{table}: a formula")
        inquiries = book["inquiries"]
        opened = [cell.value for cell in inquiries[1]].index("opened")
        self.assertTrue(inquiries[2][opened].is_date)


class Vocabulary(unittest.TestCase):
    def test_the_vocabulary_is_xml_in_the_standards_own_namespace(self):
        root = etree.parse(str(EXPORTS / "vocabulary.xml")).getroot()
        self.assertEqual(etree.QName(root).namespace, "http://rs.tdwg.org/UBIF/2006/")

    if "SDD_SCHEMA" in os.environ:

        def test_the_vocabulary_is_valid_by_the_schema_of_the_standard(self):
            schema = etree.XMLSchema(etree.parse(os.environ["SDD_SCHEMA"]))
            document = etree.parse(str(EXPORTS / "vocabulary.xml"))
            self.assertTrue(schema.validate(document), schema.error_log)


if __name__ == "__main__":
    unittest.main(testRunner=unittest.TextTestRunner(stream=sys.stdout))
