//! Stops: those of every pack, with what this pack adds or words otherwise.

use super::Resolver;
use crate::key::authored::{QuestionEntry, StopEntry, StopsEntry};
use crate::key::stops::{Question, Stop, floor};

impl Resolver {
    /// The stops in the order in which they are shown, and the safety questions. The pack's words replace those of the
    /// floor; a stop that it weakens is reported, and one that it leaves out is there all the same.
    pub(super) fn stops(&mut self, own: StopsEntry) -> (Vec<Stop>, Vec<Question>) {
        self.index_of("stop", own.stops.iter().map(|s| &s.id));
        self.index_of("safety question", own.questions.iter().map(|q| &q.id));
        let mut stops: Vec<Stop> = floor().stops.iter().cloned().map(stop).collect();
        for entry in own.stops {
            match stops.iter_mut().find(|s| s.id == entry.id) {
                Some(known) => {
                    if entry.kind > known.kind || !known.blocks.iter().all(|b| entry.blocks.contains(b)) {
                        self.bad(
                            format!("stop {}", entry.id),
                            "is weaker than in every pack: stops cannot be switched off",
                        );
                    }
                    *known = stop(entry);
                }
                None => stops.push(stop(entry)),
            }
        }
        let mut questions: Vec<Question> = floor().questions.iter().cloned().map(question).collect();
        for entry in own.questions {
            match questions.iter_mut().find(|q| q.id == entry.id) {
                Some(known) => {
                    if !known.raises.iter().all(|r| entry.raises.contains(r)) {
                        self.bad(format!("question {}", entry.id), "raises less than in every pack");
                    }
                    *known = question(entry);
                }
                None => questions.push(question(entry)),
            }
        }
        for question in &questions {
            for id in question.raises.iter().filter(|id| !stops.iter().any(|s| s.id == **id)) {
                self.unknown(&format!("question {}", question.id), "stop", id);
            }
        }
        (stops, questions)
    }
}

fn stop(entry: StopEntry) -> Stop {
    Stop { id: entry.id, kind: entry.kind, blocks: entry.blocks, title: entry.title, text: entry.text }
}

fn question(entry: QuestionEntry) -> Question {
    Question { id: entry.id, ask: entry.ask, raises: entry.raises }
}
