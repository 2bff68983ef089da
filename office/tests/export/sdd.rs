//! SDD out and in: the starter pack comes back as it went; what another's file says and we have no words for is reported.

use std::{collections::BTreeMap, path::Path, process::Command};

use dooryard_office::export::sdd::{Tie, Vocabulary, not_written, read, write};

fn starter() -> dooryard_core::key::Pack {
    dooryard_office::pack::load(None).unwrap()
}

#[test]
fn the_starter_pack_comes_back_as_it_went() {
    let out = Vocabulary::of(&starter());
    let document = String::from_utf8(write(&out, "2026-07-01").unwrap()).unwrap();
    let back = read(&document).unwrap();
    assert_eq!(back.not_understood.lines(), Vec::<String>::new());
    for (sent, came) in out.causes.iter().zip(&back.vocabulary.causes) {
        assert_eq!(came, sent);
    }
    assert_eq!(back.vocabulary, out);
    assert!(out.characters.len() > 100 && out.causes.len() > 150 && out.hosts.len() > 30, "there is something to lose");
    assert!(out.causes.iter().any(|c| !c.named.name.es.is_empty()), "in both languages");
    let ties: usize = out.causes.iter().map(|c| c.states.iter().filter(|s| s.tie != Tie::Shows).count()).sum();
    assert!(ties > 100, "states that fit and that speak against stay told apart");
}

#[test]
fn what_sdd_has_no_words_for_is_named_with_how_much_of_it_there_is() {
    let pack = starter();
    let left = not_written(&pack);
    assert_eq!(left["chance of a cause beforehand"], pack.causes.len());
    assert_eq!(left["stop"], pack.stops.len());
    assert!(left["chance of a state without any cause"] > 10 && left["step of advice"] > 10);
}

/// A small file as somebody else might write it.
const OTHERS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Datasets xmlns="http://rs.tdwg.org/UBIF/2006/">
  <TechnicalMetadata created="2020-01-01T00:00:00"><Generator name="by hand" version="1"/></TechnicalMetadata>
  <Dataset xml:lang="en">
    <Representation><Label>Rushes &amp; reeds</Label></Representation>
    <TaxonNames>
      <TaxonName id="t1"><Representation><Label xml:lang="zxx-x-taxon">Juncus invented</Label></Representation></TaxonName>
    </TaxonNames>
    <DescriptiveConcepts>
      <DescriptiveConcept id="dc1">
        <Representation><Label>How often</Label></Representation>
        <Modifiers>
          <Modifier id="m1">
            <Representation><Label>mostly</Label></Representation>
            <ModifierClass>Frequency</ModifierClass>
            <ProportionRange lowerestimate="0.5" upperestimate="1"/>
          </Modifier>
          <Modifier id="m2">
            <Representation><Label>perhaps</Label></Representation>
            <ModifierClass>Certainty</ModifierClass>
          </Modifier>
        </Modifiers>
      </DescriptiveConcept>
    </DescriptiveConcepts>
    <Characters>
      <CategoricalCharacter id="c1">
        <Representation>
          <Label>Stem shape</Label><Label xml:lang="de">Stängelform</Label><Label xml:lang="es">Forma del tallo</Label>
        </Representation>
        <States>
          <StateDefinition id="s1"><Representation><Label>Round</Label><MediaObject ref="i1"/></Representation></StateDefinition>
          <StateDefinition id="s2"><Representation><Label>Flat</Label></Representation></StateDefinition>
        </States>
      </CategoricalCharacter>
      <QuantitativeCharacter id="c2"><Representation><Label>Height</Label></Representation></QuantitativeCharacter>
    </Characters>
    <CodedDescriptions>
      <CodedDescription id="d1">
        <Representation><Label>Juncus invented</Label></Representation>
        <Scope><TaxonName ref="t1"/><Citation ref="p1"/></Scope>
        <SummaryData>
          <Categorical ref="c1">
            <State ref="s1"><Modifier ref="m1"/><Note>in summer</Note></State>
            <State ref="s2"><Modifier ref="m2"/></State>
            <State ref="s9"/>
          </Categorical>
          <Quantitative ref="c2"><Measure type="Mean" value="3"/></Quantitative>
        </SummaryData>
      </CodedDescription>
    </CodedDescriptions>
    <MediaObjects><MediaObject id="i1"><Representation><Label>Stem</Label></Representation></MediaObject></MediaObjects>
  </Dataset>
  <Dataset xml:lang="en"><Representation><Label>Another</Label></Representation></Dataset>
</Datasets>"#;

#[test]
fn what_is_not_understood_of_anothers_file_is_counted_and_the_rest_is_read() {
    let read = read(OTHERS).unwrap();
    let expected: BTreeMap<String, u64> = [
        ("CategoricalCharacter/Label in the language de", 1),
        ("Characters/QuantitativeCharacter", 1),
        ("Dataset/MediaObjects", 1),
        ("Datasets/Dataset", 1),
        ("Modifier of the class Certainty", 1),
        ("Modifier/ProportionRange: the middle was taken", 1),
        ("Scope/Citation", 1),
        ("State that no character defines", 1),
        ("State/Modifier", 1),
        ("State/Note", 1),
        ("StateDefinition/Representation/MediaObject", 1),
        ("SummaryData/Quantitative", 1),
    ]
    .into_iter()
    .map(|(place, n)| (place.to_owned(), n))
    .collect();
    assert_eq!(read.not_understood.0, expected);
    let v = read.vocabulary;
    assert_eq!(v.title.en, "Rushes & reeds");
    assert_eq!(
        (v.characters[0].label.en.as_str(), v.characters[0].label.es.as_str()),
        ("Stem shape", "Forma del tallo")
    );
    assert_eq!(v.words, BTreeMap::from([("m1".to_owned(), 0.75)]));
    let described = &v.causes[0];
    assert_eq!(described.hosts, ["t1"]);
    let states: Vec<(&str, Option<&str>)> =
        described.states.iter().map(|s| (s.state.1.as_str(), s.word.as_deref())).collect();
    assert_eq!(states, [("s1", Some("m1")), ("s2", None)]);
}

#[test]
fn a_file_that_is_none_or_means_harm_is_refused_with_a_reason() {
    let deep = format!("{}{}", "<a>".repeat(70), "</a>".repeat(70));
    let entity = "<!DOCTYPE a [<!ENTITY b \"bbbb\">]><a>&b;</a>";
    let whole = OTHERS.len();
    for (text, reason) in [
        ("", "there is nothing in it"),
        ("leaf", "there is nothing in it"),
        ("<Datasets/>", "no SDD 1.1"),
        ("<html><body/></html>", "its outermost element is html"),
        (&OTHERS[..whole - 11], "ends in the middle"),
        (&OTHERS[..whole - 20], "no XML"),
        ("<a><b></a>", "no XML"),
        (&deep, "deep in each other"),
        (entity, "document type"),
        ("<a>&b;</a>", "nothing defines"),
        ("<Datasets xmlns=\"http://rs.tdwg.org/UBIF/2006/\"/>", "no data set"),
    ] {
        let said = format!("{:#}", read(text).unwrap_err());
        assert!(said.contains(reason), "{said} instead of {reason}");
    }
}

#[test]
fn the_command_writes_reads_and_reports() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("exports");
    std::fs::create_dir_all(&folder).unwrap();
    let run = |line: &[&str]| {
        let done = Command::new(env!("CARGO_BIN_EXE_dooryard")).current_dir(&folder).args(line).output().unwrap();
        let text = format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
        (done.status.code().unwrap(), text)
    };
    let (code, said) = run(&["pack", "to-sdd", "--out", "vocabulary.xml"]);
    assert!(code == 0 && said.contains("x chance of a cause beforehand"), "{said}");
    let (code, said) = run(&["pack", "from-sdd", "vocabulary.xml", "--out", "vocabulary.json"]);
    assert!(code == 0 && said.contains("Everything was understood."), "{said}");
    std::fs::write(folder.join("others.xml"), OTHERS).unwrap();
    let (code, said) = run(&["pack", "from-sdd", "others.xml", "--out", "others.json"]);
    assert!(code == 0 && said.contains("1 x Characters/QuantitativeCharacter"), "{said}");
    let (code, said) = run(&["pack", "from-sdd", "nowhere.xml", "--out", "nowhere.json"]);
    assert!(code == 1 && said.contains("nowhere.xml") && !folder.join("nowhere.json").exists(), "{said}");
}
