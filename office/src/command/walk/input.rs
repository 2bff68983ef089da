//! What a typed line means.

use dooryard_core::key::Character;

use crate::command::speak::fold;

/// A line that was understood, while a look is asked.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Input {
    /// States by their index: those that are there, those looked for and not there.
    Looked {
        /// There.
        seen: Vec<usize>,
        /// Looked for, not there.
        absent: Vec<usize>,
    },
    /// Looked, could not tell.
    Unsure,
    /// Not looked.
    Skip,
    /// Something else than an answer.
    Command(Command),
}

/// Something that a person can ask for instead of answering.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Command {
    Why,
    Undo,
    List,
    Differential,
    Advice,
    Quit,
    Help,
}

/// Why a line was not understood.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Mistake {
    /// Nothing was typed.
    Empty,
    /// Neither a number nor a command.
    Word(String),
    /// There is no state with this number.
    Number(String),
    /// There and not there (its number).
    Both(usize),
    /// Several states of a character that has exactly one.
    OnlyOne,
    /// The state that means nothing is wrong (its number), with others.
    NormalAlone(usize),
}

/// Commands with all their names, accents left out. The names of both languages always work.
const COMMANDS: [(Command, &[&str]); 7] = [
    (Command::Why, &["why", "w", "porque", "por que"]),
    (Command::Undo, &["u", "undo", "deshacer"]),
    (Command::List, &["l", "list", "lista"]),
    (Command::Differential, &["d", "all", "todas"]),
    (Command::Advice, &["a", "advice", "consejo"]),
    (Command::Quit, &["q", "quit", "end", "exit", "salir", "terminar"]),
    (Command::Help, &["h", "help", "ayuda"]),
];

/// The command with this name.
pub fn command(line: &str) -> Option<Command> {
    let folded = fold(line);
    let typed = folded.trim_matches(['¿', '?', '!', '.']);
    COMMANDS.iter().find(|(_, names)| names.contains(&typed)).map(|(command, _)| *command)
}

/// Yes or no, in either language.
pub fn yes_no(line: &str) -> Option<bool> {
    match fold(line).as_str() {
        "y" | "yes" | "s" | "si" => Some(true),
        "n" | "no" => Some(false),
        _ => None,
    }
}

/// Whether somebody says that they have read something.
pub fn is_read(line: &str) -> bool {
    ["ok", "okay", "o.k.", "vale", "leido"].contains(&fold(line).as_str())
}

/// What a line says about a character.
///
/// # Errors
/// Why it was not understood.
pub fn answer(line: &str, character: &Character) -> Result<Input, Mistake> {
    let typed = fold(line);
    match typed.as_str() {
        "" => return Err(Mistake::Empty),
        "?" | "??" => return Ok(Input::Unsure),
        "s" | "skip" | "saltar" => return Ok(Input::Skip),
        _ => {}
    }
    if let Some(command) = command(line) {
        return Ok(Input::Command(command));
    }
    let (mut seen, mut absent) = (Vec::new(), Vec::new());
    for part in typed.split([',', ';', ' ', '\t']).filter(|part| !part.is_empty()) {
        let (list, digits) = match part.strip_prefix(['-', '−', '–']) {
            Some(digits) => (&mut absent, digits),
            None => (&mut seen, part),
        };
        if digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit()) {
            return Err(Mistake::Word(line.trim().to_owned()));
        }
        let known = digits.parse::<usize>().ok().filter(|n| (1..=character.states.len()).contains(n));
        let at = known.ok_or_else(|| Mistake::Number(digits.to_owned()))? - 1;
        if !list.contains(&at) {
            list.push(at);
        }
    }
    check(character, &seen, &absent)?;
    if seen.is_empty() && absent.is_empty() { Err(Mistake::Empty) } else { Ok(Input::Looked { seen, absent }) }
}

fn check(character: &Character, seen: &[usize], absent: &[usize]) -> Result<(), Mistake> {
    if let Some(both) = seen.iter().find(|s| absent.contains(s)) {
        return Err(Mistake::Both(both + 1));
    }
    if seen.len() > 1 && !character.multi {
        return Err(Mistake::OnlyOne);
    }
    if seen.len() > 1 && seen.contains(&character.normal) {
        return Err(Mistake::NormalAlone(character.normal + 1));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::walk::sample;

    #[test]
    fn numbers_mean_seen_and_numbers_with_a_minus_mean_looked_and_not_there() {
        let pack = sample::pack();
        let spots = pack.character("spots").unwrap();
        let looked =
            |seen: &[usize], absent: &[usize]| Ok(Input::Looked { seen: seen.to_vec(), absent: absent.to_vec() });
        assert_eq!(answer("2, 3", spots), looked(&[1, 2], &[]));
        assert_eq!(answer(" 2 -3 2 ", spots), looked(&[1], &[2]));
        assert_eq!(answer("-2", spots), looked(&[], &[1]));
        assert_eq!(answer("?", spots), Ok(Input::Unsure));
        assert_eq!(answer("S", spots), Ok(Input::Skip));
        assert_eq!(answer("¿Por qué?", spots), Ok(Input::Command(Command::Why)));
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_reason() {
        let pack = sample::pack();
        let (spots, flare) = (pack.character("spots").unwrap(), pack.character("flare").unwrap());
        assert_eq!(answer("", spots), Err(Mistake::Empty));
        assert_eq!(answer(" , ", spots), Err(Mistake::Empty));
        assert_eq!(answer("brown", spots), Err(Mistake::Word("brown".into())));
        assert_eq!(answer("2x", spots), Err(Mistake::Word("2x".into())));
        assert_eq!(answer("9", spots), Err(Mistake::Number("9".into())));
        assert_eq!(answer("0", spots), Err(Mistake::Number("0".into())));
        assert_eq!(answer("99999999999999999999999", spots), Err(Mistake::Number("99999999999999999999999".into())));
        assert_eq!(answer("2 -2", spots), Err(Mistake::Both(2)));
        assert_eq!(answer("1,2", spots), Err(Mistake::NormalAlone(1)));
        assert_eq!(answer("1,2", flare), Err(Mistake::OnlyOne));
    }

    #[test]
    fn yes_and_no_are_understood_in_both_languages() {
        assert_eq!(
            ["y", "Sí", "S", "no", "maybe", ""].map(yes_no),
            [Some(true), Some(true), Some(true), Some(false), None, None]
        );
        assert!(is_read("OK") && is_read("leído") && !is_read(""));
    }
}
