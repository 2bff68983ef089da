//! The sentences of a letter in both languages, at a reading grade of 8 or lower.

use crate::key::{Escalate, Language};
use jiff::civil::Date;

/// Every fixed sentence of a letter.
pub(super) struct Words {
    pub lang: &'static str,
    pub title: &'static str,
    pub inquiry: &'static str,
    pub name_it: &'static str,
    pub you_asked: &'static str,
    pub opening: &'static str,
    pub saw: &'static str,
    pub sound: &'static str,
    pub not_found: &'static str,
    pub could_not_tell: &'static str,
    pub nothing_seen: &'static str,
    pub think: &'static str,
    pub do_not_know: &'static str,
    pub may_be: &'static str,
    pub may_also_be: &'static str,
    pub official: &'static str,
    pub no_advice: &'static str,
    pub stress: &'static str,
    pub more_than_one: &'static str,
    pub check: &'static str,
    pub to_do: &'static str,
    pub now: &'static str,
    pub later: &'static str,
    pub from: &'static str,
    pub do_not: &'static str,
    pub careful: &'static str,
    pub call: &'static str,
    pub change_our_mind: &'static str,
    pub please_look: &'static str,
    pub next: &'static str,
    pub we_will_ask: &'static str,
    pub keep_in_mind: &'static str,
    pub regards: &'static str,
    pub reviewed: &'static str,
    pub reviewed_by: &'static str,
    pub not_reviewed: &'static str,
    pub content: &'static str,
}

/// The words of a language.
pub(super) fn of(language: Language) -> &'static Words {
    match language {
        Language::En => &EN,
        Language::Es => &ES,
    }
}

const EN: Words = Words {
    lang: "en",
    title: "About your plant",
    inquiry: "Inquiry",
    name_it: "Have this number ready when you call",
    you_asked: "You asked us:",
    opening: "Here is what we saw, what we think, and what to do.",
    saw: "What we saw",
    sound: "We looked here and saw nothing unusual:",
    not_found: "We looked for this and did not find it:",
    could_not_tell: "We could not tell:",
    nothing_seen: "We have no findings yet.",
    think: "What we think, and how sure we are",
    do_not_know: "We do not know yet what it is. What we saw fits more than one cause.",
    may_be: "It may be:",
    may_also_be: "It could also be:",
    official: "This needs an official look. We cannot say what it is until then.",
    no_advice: "Please do what it says at the top of this letter first. We will tell you more after that.",
    stress: "Something weakened the plant first. We do not know yet what it was.",
    more_than_one: "More than one of these can be true at once.",
    check: "Find this out first",
    to_do: "What to do",
    now: "Now",
    later: "Later",
    from: "From",
    do_not: "What not to do",
    careful: "Take care",
    call: "When to call us",
    change_our_mind: "What would change our mind",
    please_look: "These looks would tell us the most:",
    next: "What comes next",
    we_will_ask: "We will ask you again on",
    keep_in_mind: "Please keep in mind",
    regards: "With kind regards,",
    reviewed: "A person reviewed this letter: yes",
    reviewed_by: "by the",
    not_reviewed: "A person reviewed this letter: no",
    content: "Content pack",
};

const ES: Words = Words {
    lang: "es",
    title: "Sobre su planta",
    inquiry: "Consulta",
    name_it: "Tenga este número a la mano al llamar",
    you_asked: "Usted nos preguntó:",
    opening: "Aquí le decimos lo que vimos, lo que pensamos y qué hacer.",
    saw: "Lo que vimos",
    sound: "Aquí miramos y no vimos nada raro:",
    not_found: "Buscamos esto y no lo encontramos:",
    could_not_tell: "No pudimos saber:",
    nothing_seen: "Todavía no tenemos observaciones.",
    think: "Lo que pensamos, y qué tan seguros estamos",
    do_not_know: "Todavía no sabemos qué es. Lo que vimos puede tener más de una causa.",
    may_be: "Puede ser:",
    may_also_be: "También podría ser:",
    official: "Esto lo tiene que ver una oficina oficial. Hasta entonces no podemos decir qué es.",
    no_advice: "Por favor haga primero lo que dice al principio de esta carta. Después le diremos más.",
    stress: "Algo debilitó la planta primero. Todavía no sabemos qué fue.",
    more_than_one: "Más de una de estas cosas puede ser cierta a la vez.",
    check: "Primero averigüe esto",
    to_do: "Qué hacer",
    now: "Ahora",
    later: "Después",
    from: "Desde el",
    do_not: "Qué no hacer",
    careful: "Tenga cuidado",
    call: "Cuándo llamarnos",
    change_our_mind: "Qué nos haría cambiar de idea",
    please_look: "Esto es lo que más nos ayudaría ver:",
    next: "Qué sigue",
    we_will_ask: "Le volveremos a preguntar el",
    keep_in_mind: "Tenga esto en cuenta",
    regards: "Atentamente,",
    reviewed: "Una persona revisó esta carta: sí",
    reviewed_by: "por:",
    not_reviewed: "Una persona revisó esta carta: no",
    content: "Contenido",
};

const MONTHS: [(&str, &str); 12] = [
    ("January", "enero"),
    ("February", "febrero"),
    ("March", "marzo"),
    ("April", "abril"),
    ("May", "mayo"),
    ("June", "junio"),
    ("July", "julio"),
    ("August", "agosto"),
    ("September", "septiembre"),
    ("October", "octubre"),
    ("November", "noviembre"),
    ("December", "diciembre"),
];

/// A day (month, day) as people write it: `July 22`, `22 de julio`.
pub fn day((month, day): (u8, u8), language: Language) -> String {
    let (en, es) = MONTHS[usize::from(month.clamp(1, 12)) - 1];
    match language {
        Language::En => format!("{en} {day}"),
        Language::Es => format!("{day} de {es}"),
    }
}

/// `July 22, 2026`, `22 de julio de 2026`.
pub(super) fn date(date: Date, language: Language) -> String {
    let day = day((date.month().unsigned_abs(), date.day().unsigned_abs()), language);
    match language {
        Language::En => format!("{day}, {}", date.year()),
        Language::Es => format!("{day} de {}", date.year()),
    }
}

/// `likely, about 70 in 100`.
pub(super) fn chance(word: &str, probability: f64, language: Language) -> String {
    let hundred = (probability * 20.0).round().clamp(1.0, 19.0) * 5.0;
    match language {
        Language::En => format!("{word}, about {hundred:.0} in 100"),
        Language::Es => format!("{word}, cerca de {hundred:.0} en 100"),
    }
}

/// Who has to answer first; nothing if a volunteer may.
pub(super) fn escalate(who: Escalate, language: Language) -> Option<&'static str> {
    let (en, es) = match who {
        Escalate::None | Escalate::Regulated => return None,
        Escalate::Educator => (
            "The county educator checks this answer before you act on it.",
            "La educadora o el educador del condado revisa esta respuesta antes de que usted haga algo.",
        ),
        Escalate::Lab => (
            "A laboratory should look at a sample before you do more than general care.",
            "Un laboratorio debe ver una muestra antes de que usted haga más que el cuidado general.",
        ),
        Escalate::Arborist => (
            "A qualified or licensed arborist has to look at it on site.",
            "Un arborista calificado o con licencia tiene que verlo en el lugar.",
        ),
    };
    Some(match language {
        Language::En => en,
        Language::Es => es,
    })
}
