//! The words of a conversation in a terminal, in both languages, at a reading grade of 8 or lower.

use dooryard_core::key::{Cost, Escalate, Language, Role};

/// Fills in a table of words: every name once, English before Spanish.
macro_rules! table {
    ($($name:ident: $en:literal, $es:literal;)*) => {
        /// Every fixed text of a conversation.
        pub struct Words {
            /// The language of the texts.
            pub language: Language,
            $(pub $name: &'static str,)*
        }
        const EN: Words = Words { language: Language::En, $($name: $en,)* };
        const ES: Words = Words { language: Language::Es, $($name: $es,)* };
    };
}

table! {
    title: "Symptom key", "Clave de síntomas";
    hint: "Answer line by line. h shows help. Ctrl-D ends at any time, and nothing you typed is lost.",
        "Responda línea por línea. h muestra la ayuda. Ctrl-D termina en cualquier momento y no se pierde nada de lo escrito.";
    saved_as_given: "Every answer is saved in the notebook as you give it.",
        "Cada respuesta se guarda en el cuaderno en cuanto usted la da.";
    safety: "Safety first", "Primero la seguridad";
    yes_no: "y yes, n no", "s sí, n no";
    yes_or_no: "Please answer y or n.", "Por favor responda s o n.";
    read_it: "Type ok when you have read this", "Escriba ok cuando lo haya leído";
    read_it_please: "Please read it, then type ok.", "Por favor léalo y después escriba ok.";
    stop: "STOP", "ALTO";
    warn: "TAKE CARE", "CUIDADO";
    question_head: "The question", "La pregunta";
    question_ask: "What does the resident ask, in their own words? No names, no addresses. An empty line ends it.",
        "¿Qué pregunta la persona, con sus propias palabras? Sin nombres ni direcciones. Una línea vacía termina.";
    question_known: "The question in the notebook:", "La pregunta que está en el cuaderno:";
    plant_head: "The plant", "La planta";
    plant_ask: "Which plant is it? Type its number or a part of its name (l lists them again, q ends)",
        "¿Qué planta es? Escriba su número o una parte del nombre (l repite la lista, q termina)";
    plant_none: "No plant of this key has that name:", "Ninguna planta de esta clave se llama así:";
    plant_many: "Several plants fit. Type the number:", "Varias plantas coinciden. Escriba el número:";
    plant_is: "The plant:", "La planta:";
    look: "Look", "Observe";
    how: "How:", "Cómo:";
    cost: "Takes:", "Lleva:";
    several: "More than one can be true.", "Puede haber más de una.";
    answer_one: "One number; -N looked and not there; ? could not tell; s skip; h help",
        "Un número; -N busqué y no está; ? no pude saber; s saltar; h ayuda";
    answer_many: "Numbers, as 1,3; -N looked and not there; ? could not tell; s skip; h help",
        "Números, como 1,3; -N busqué y no está; ? no pude saber; s saltar; h ayuda";
    noted: "Noted:", "Anotado:";
    no_word: "This is neither a number nor a command:", "Esto no es un número ni una orden:";
    no_number: "There is no such number:", "No existe ese número:";
    both: "It cannot be there and not there:", "No puede estar y no estar a la vez:";
    only_one: "Only one of these can be true. Type one number, and -N for those that are not there.",
        "Solo una puede ser cierta. Escriba un número, y -N para las que no están.";
    normal_alone: "This one says that nothing is wrong here. Type it alone:",
        "Esta dice que aquí todo está bien. Escríbala sola:";
    nothing_typed: "Type an answer, or s to skip this look.", "Escriba una respuesta, o s para saltar.";
    nothing_to_undo: "There is nothing to undo.", "No hay nada que deshacer.";
    undone: "Taken back:", "Se quitó:";
    stop_stays: "A stop that was shown stays with this inquiry until the office has looked at it.",
        "Un alto que se mostró queda en esta consulta hasta que la oficina lo vea.";
    seen: "seen", "visto";
    absent: "looked, not there", "se buscó y no está";
    unsure: "could not tell", "no se pudo saber";
    skipped: "not looked", "no se miró";
    other_than: "something else was seen than", "se vio otra cosa que no es";
    so_far: "So far", "Hasta ahora";
    as_before: "The list of causes stays as it was.", "La lista de causas queda igual.";
    nothing_raised: "No cause stands out yet.", "Todavía no destaca ninguna causa.";
    gone: "No longer on the list:", "Ya no está en la lista:";
    unsettled: "Not settled: nothing can be named yet.", "Sin resolver: todavía no se puede nombrar nada.";
    enough: "No look that is left would change what to do. q ends here; you may go on.",
        "Nada de lo que falta por ver cambiaría lo que hay que hacer. q termina; también puede seguir.";
    none_left: "There is nothing left to look at.", "Ya no queda nada por ver.";
    no_digging: "Looks that need digging are left out while this stop stands.",
        "Mientras haya este alto, no se pide nada que requiera cavar.";
    held_back: "No cause is named while a stop stands. What you see is still kept.",
        "No se nombra ninguna causa mientras haya un alto. Lo que usted vea sí se guarda.";
    why: "Why this is asked", "Por qué se pregunta";
    asked_always: "It is asked of every plant first, because it is so often the reason.",
        "Se pregunta primero en toda planta, porque muchas veces es la razón.";
    says_little: "For this plant it would change little.", "En esta planta cambiaría poco.";
    may_change: "Chance that the answer changes what to do:", "Probabilidad de que la respuesta cambie lo que hay que hacer:";
    if_so: "If", "Si es";
    leads: "comes first then:", "entonces va primero:";
    advice_then: "changes what to do to:", "cambia lo que hay que hacer a:";
    no_advice_then: "leaves only general care", "deja solo el cuidado general";
    answer_short: "Answer (h help)", "Respuesta (h ayuda)";
    none_of_these: "none of the causes in this key", "ninguna causa de esta clave";
    as_main: "as the main cause", "como causa principal";
    moves_nothing: "changes little", "cambia poco";
    list: "Other looks", "Otras cosas que ver";
    list_ask: "Its number; or a word to find others, such as bark; or Enter to stay",
        "Su número; o una palabra para buscar otras, como corteza; o Enter para seguir igual";
    many_looks: "looks have this word; here are the first. A longer word finds fewer.",
        "tienen esta palabra; aquí están las primeras. Una palabra más larga encuentra menos.";
    no_look: "No look that is left has this word:", "Ninguna de las que faltan tiene esta palabra:";
    full: "All causes with reasons", "Todas las causas, con razones";
    for_it: "for", "a favor";
    against_it: "against", "en contra";
    would_say_more: "not looked yet:", "falta ver:";
    idle: "others stand about where they began, or lower.", "más están como al principio, o más abajo.";
    none_share: "None of the causes in this key:", "Ninguna causa de esta clave:";
    together: "Most likely together:", "Lo más probable, juntas:";
    aid: "This list is a thinking aid. A person decides.", "Esta lista es una ayuda para pensar. Una persona decide.";
    regulated: "A pest or disease that officials watch (not named here)",
        "Una plaga o enfermedad que vigilan las autoridades (no se nombra aquí)";
    advice: "What to tell", "Qué decir";
    causes: "Can be named:", "Se puede nombrar:";
    cause_none: "Nothing can be named yet.", "Todavía no se puede nombrar nada.";
    possible: "May also be said to be possible:", "También se puede decir que es posible:";
    check: "Find out first", "Averiguar primero";
    now: "Now", "Ahora";
    later: "Later", "Después";
    from: "from", "desde el";
    do_not: "What not to do", "Qué no hacer";
    careful: "Take care", "Cuidado";
    call: "When to call back", "Cuándo llamar";
    blocked: "A stop stands: no advice beyond its own words.", "Hay un alto: ningún consejo más allá de sus propias palabras.";
    contradiction: "Left out, because it contradicts itself until this is found out:",
        "Se dejó fuera porque se contradice hasta averiguarlo:";
    stress: "Something weakened the plant first. Look for it.", "Algo debilitó la planta primero. Búsquelo.";
    ask_again: "Ask again after", "Preguntar otra vez a los";
    days: "days:", "días:";
    summary: "Summary", "Resumen";
    no_plant: "No plant was chosen, so there is no list of causes.", "No se eligió una planta; por eso no hay lista de causas.";
    no_findings: "Nothing was looked at.", "No se miró nada.";
    letter_ask: "Write a letter for the resident? Type a file name (letter.html or letter.txt), or Enter for none",
        "¿Escribir una carta para la persona? Escriba un nombre de archivo (carta.html o carta.txt), o Enter para no";
    letter_there: "There is such a file already. Type another name.", "Ese archivo ya existe. Escriba otro nombre.";
    letter_done: "The letter is written:", "La carta está escrita:";
    not_done: "Not done:", "No se hizo:";
    notebook_ask: "Save it as an inquiry? Type the folder of a notebook, or Enter for no",
        "¿Guardarlo como consulta? Escriba la carpeta de un cuaderno, o Enter para no";
    keep_ask: "Keep the causes that can be named as a first answer? The office looks at it (y, n)",
        "¿Guardar como primera respuesta las causas que se pueden nombrar? La oficina la revisa (s, n)";
    saved: "Saved in the notebook as inquiry", "Guardado en el cuaderno como consulta";
    not_saved: "Nothing was saved in a notebook.", "No se guardó nada en un cuaderno.";
    office: "County plant help desk", "Mesa de ayuda con plantas del condado";
    signed: "The garden volunteers of the county office", "Los voluntarios de jardín de la oficina del condado";
    help: "N or N,N   what you see, by its number\n\
           -N         you looked for it and it is not there\n\
           ?          you looked and could not tell\n\
           s          skip: you did not look\n\
           why        why this is asked, and what each answer would do\n\
           u          undo the last answer\n\
           l          list other looks, or find one by a word, and choose it\n\
           d          all causes with what speaks for and against them\n\
           a          what to tell, as it stands now\n\
           q          end: summary, advice, letter",
        "N o N,N    lo que usted ve, por su número\n\
         -N         lo buscó y no está\n\
         ?          miró y no pudo saber\n\
         s          saltar: no miró\n\
         porque     por qué se pregunta y qué haría cada respuesta\n\
         u          deshacer la última respuesta\n\
         l          lista de otras cosas que ver, o buscar con una palabra, para elegir\n\
         d          todas las causas, con lo que habla a favor y en contra\n\
         a          qué decir, según lo que hay ahora\n\
         q          terminar: resumen, consejo, carta";
}

/// The words of a language.
pub fn words(language: Language) -> &'static Words {
    match language {
        Language::En => &EN,
        Language::Es => &ES,
    }
}

impl Words {
    fn pick(&self, en: &'static str, es: &'static str) -> &'static str {
        match self.language {
            Language::En => en,
            Language::Es => es,
        }
    }

    /// `62 in 100`.
    pub fn in_100(&self, chance: f64) -> String {
        format!("{:>2} {} 100", crate::page::percent(chance), self.pick("in", "en"))
    }

    /// What a look takes: minutes, then tools.
    pub fn cost(&self, cost: Cost, minutes: f64) -> String {
        let tools = match cost {
            Cost::Glance => self.pick("eyes only", "solo los ojos"),
            Cost::Touch => self.pick("hand, lens, white paper or ruler", "mano, lupa, papel blanco o regla"),
            Cost::Knife => self.pick(
                "a clean knife; the cut harms the plant a little",
                "una navaja limpia; el corte daña un poco la planta",
            ),
            Cost::Dig => self.pick("a hand trowel", "una palita de mano"),
            Cost::Lab => self.pick(
                "a sample for a laboratory, a fee, days of waiting",
                "una muestra para el laboratorio, un pago, días de espera",
            ),
        };
        format!("{}; {tools}", self.minutes(minutes))
    }

    /// `about 3 minutes`.
    pub fn minutes(&self, minutes: f64) -> String {
        if minutes < 1.0 {
            self.pick("less than a minute", "menos de un minuto").to_owned()
        } else if minutes < 1.5 {
            self.pick("about a minute", "cerca de un minuto").to_owned()
        } else {
            format!("{} {minutes:.0} {}", self.pick("about", "cerca de"), self.pick("minutes", "minutos"))
        }
    }

    /// A cause's part in the trouble, where it is not the primary one.
    pub fn role(&self, role: Role) -> Option<&'static str> {
        match role {
            Role::Primary => None,
            Role::StressTriggered => Some(self.pick("comes to weak plants", "llega a plantas débiles")),
            Role::Secondary => Some(self.pick("follows other damage", "sigue a otro daño")),
            Role::Environment => Some(self.pick("site, weather or people", "lugar, clima o personas")),
            Role::Harmless => Some(self.pick("harmless", "no hace daño")),
        }
    }

    /// Who has to answer, where a volunteer may not.
    pub fn escalate(&self, who: Escalate) -> Option<&'static str> {
        match who {
            Escalate::None => None,
            Escalate::Educator => Some(self.pick("the educator confirms first", "primero confirma la oficina")),
            Escalate::Lab => Some(
                self.pick("a laboratory sample before more than general care", "primero una muestra al laboratorio"),
            ),
            Escalate::Arborist => {
                Some(self.pick("a qualified arborist on site", "un arborista calificado en el lugar"))
            }
            Escalate::Regulated => Some(self.pick("needs an official look", "necesita una revisión oficial")),
        }
    }

    /// A group of hosts as a heading.
    pub fn host_group<'g>(&self, group: &'g str) -> &'g str {
        match group {
            "tree" => self.pick("Trees", "Árboles"),
            "conifer" => self.pick("Conifers", "Coníferas"),
            "shrub" => self.pick("Shrubs", "Arbustos"),
            "perennial" => self.pick("Perennials", "Perennes"),
            "vegetable" => self.pick("Vegetables", "Verduras"),
            "lawn" => self.pick("Lawn", "Césped"),
            other => other,
        }
    }
}

/// A text as it is compared: small letters, no accents, no spaces around it.
pub fn fold(text: &str) -> String {
    let plain = |c: char| match c {
        'á' | 'à' | 'ä' => 'a',
        'é' | 'è' | 'ë' => 'e',
        'í' | 'ì' | 'ï' => 'i',
        'ó' | 'ò' | 'ö' => 'o',
        'ú' | 'ù' | 'ü' => 'u',
        'ñ' => 'n',
        other => other,
    };
    text.trim().to_lowercase().chars().map(plain).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_none_and_never_sure() {
        assert_eq!(words(Language::En).in_100(0.0), " 1 in 100");
        assert_eq!(words(Language::Es).in_100(1.0), "99 en 100");
    }

    #[test]
    fn accents_and_capitals_do_not_matter() {
        assert_eq!(fold("  Árbol PEQUEÑO "), "arbol pequeno");
    }
}
