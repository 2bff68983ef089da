//! The rows that a merge wrote, inserted by nothing but INSERT.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use rusqlite::{Connection, params_from_iter, types::Value as Sql};

type Row = Vec<Sql>;

/// Which of the rows are inserted.
#[derive(Clone, Copy, PartialEq)]
pub enum Which {
    /// All that the merge wrote.
    All,
    /// The log alone: changes and their fields, without the list of records.
    Log,
    /// The changes without their fields: one row each.
    Heads,
}

/// The rows of a merged notebook, in the order and the transactions in which the merge wrote them.
pub struct Rows {
    changes: Vec<Row>,
    facts: Vec<Row>,
    records: Vec<Row>,
    per: i64,
}

impl Rows {
    /// Reads them; `per` changes of one log stood in a transaction.
    pub fn of(folder: &Path, per: usize) -> Self {
        let source = Connection::open(folder.join("notebook.db")).expect("the merged notebook");
        let rows = |sql: &str| -> Vec<Row> {
            let mut query = source.prepare(sql).expect("a query");
            let width = query.column_count();
            let rows = query.query_map([], |row| (0..width).map(|i| row.get(i)).collect()).expect("rows");
            let mut rows: Vec<Row> = rows.collect::<Result<_, _>>().expect("rows");
            rows.reverse();
            rows
        };
        Self {
            changes: rows("SELECT log, seq, hash, prev, rec, head, waiting, partial FROM change ORDER BY log, seq"),
            facts: rows(&format!(
                "SELECT rec, field, hash, log, seq, flags, salt, value, preds FROM fact
                 ORDER BY log, (seq - 1) / {per}, rec, field, hash"
            )),
            records: rows(&format!(
                "SELECT r.rec, r.kind, r.stale, min(f.seq), min(f.log) FROM record r JOIN fact f USING(rec)
                 GROUP BY r.rec ORDER BY min(f.log), (min(f.seq) - 1) / {per}, r.rec"
            )),
            per: per as i64,
        }
    }

    /// Inserts them into another notebook; how long that took.
    pub fn insert(mut self, to: &Path, which: Which) -> Duration {
        let target = Connection::open(to.join("notebook.db")).expect("the bare notebook");
        target
            .execute_batch(
                "PRAGMA synchronous = FULL; PRAGMA foreign_keys = OFF; PRAGMA temp_store = 2; PRAGMA cache_size = -16384; PRAGMA secure_delete = ON;
                 PRAGMA journal_size_limit = 16777216; PRAGMA cell_size_check = ON;",
            )
            .expect("pragmas");
        let start = Instant::now();
        while let Some(first) = self.changes.last() {
            let (log, end) = (number(&first[0]), (number(&first[1]) - 1) / self.per * self.per + self.per);
            let within = |log_at: usize, seq_at: usize| {
                move |row: &Row| number(&row[log_at]) == log && number(&row[seq_at]) <= end
            };
            let tx = target.unchecked_transaction().expect("a transaction");
            let put = |sql: &str, rows: &mut Vec<Row>, width: usize, within: &dyn Fn(&Row) -> bool| {
                let mut insert = tx.prepare_cached(sql).expect("a statement");
                while rows.last().is_some_and(within) {
                    insert.execute(params_from_iter(&rows.pop().expect("a row")[..width])).expect("a row");
                }
            };
            put(
                "INSERT INTO change(log, seq, hash, prev, rec, head, waiting, partial) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                &mut self.changes,
                8,
                &within(0, 1),
            );
            if which == Which::All {
                put("INSERT INTO record(rec, kind, stale) VALUES(?1, ?2, ?3)", &mut self.records, 3, &within(4, 3));
            }
            if which != Which::Heads {
                put(
                    "INSERT INTO fact(rec, field, hash, log, seq, flags, salt, value, preds)
                     VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                    &mut self.facts,
                    9,
                    &within(3, 4),
                );
            }
            tx.commit().expect("committed");
        }
        let took = start.elapsed();
        assert!(which == Which::Heads || self.facts.is_empty(), "every row was inserted");
        assert!(which != Which::All || self.records.is_empty(), "every row was inserted");
        took
    }
}

fn number(value: &Sql) -> i64 {
    if let Sql::Integer(i) = value { *i } else { 0 }
}
