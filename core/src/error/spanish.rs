//! The sentences of codes in Spanish, as in the United States. A code without one does not compile.

use super::Code;
use crate::photo::PhotoProblem;

impl Code {
    /// [`Code::sentence`] in Spanish.
    pub fn sentence_es(self) -> &'static str {
        match self {
            Self::NotForUs => "Está sellado para otra oficina. Entréguelo a la oficina para la que se hizo.",
            Self::BadMagic => "No es un paquete de entrega. Pida el archivo que termina en .yard.",
            Self::Cut => "Le falta el final. Lo que está entero se usó; pida el archivo otra vez para tener el resto.",
            Self::PartHash => "Se cambiaron datos en el camino. Pida el archivo otra vez.",
            Self::BadSignature => "Su firma no es válida. Pida que se haga el archivo otra vez.",
            Self::UnknownDevice => {
                "Esta oficina no conoce el teléfono. Agregue el aparato y después reciba el archivo otra vez."
            }
            Self::Revoked => {
                "A este teléfono se le quitó el permiso. Lo que escribió después espera la decisión de la oficina."
            }
            Self::Fork => "Dos cambios distintos están en el mismo lugar de un registro. Se guardan los dos.",
            Self::Gap => "Todavía no llega algo de en medio. Se pide en la respuesta.",
            Self::TooNew => {
                "Se hizo con una versión más nueva. Se guarda, y se recibe después de actualizar el programa."
            }
            Self::TooBig => "Es más grande de lo permitido. Haga archivos más pequeños.",
            Self::Bomb => "Al abrirlo ocupa más de lo que dice. No se abrió.",
            Self::Schema => "No tiene la forma debida. Pídalo otra vez.",
            Self::ForbiddenField => "Escribe algo que su función no puede escribir. Espera la decisión de la oficina.",
            Self::Clock => {
                "El reloj del teléfono está muy equivocado. Se guarda todo; la oficina puede corregir la hora."
            }
            Self::NoSpace => "Ya no hay espacio. Libere espacio y después inténtelo otra vez.",
            Self::StaleReply => "Es anterior a la respuesta que ya se recibió. No se cambió nada.",
            Self::RefusedByOffice => "La oficina lo rechazó. Se guarda y no se muestra.",
            Self::WrongCode => {
                "Esta oficina no hizo esa invitación, o alguien la cambió en el camino. Haga una nueva y léala otra vez."
            }
            Self::Expired => {
                "Ya pasó el tiempo de la invitación. Haga una nueva con el mismo nombre; no se pierde nada."
            }
            Self::CodeUsed => {
                "Llegaron dos teléfonos con un mismo código. Ahora esperan los dos. Llame a la persona y después admita el \
                 teléfono cuyas palabras ella lea."
            }
            Self::WaitingFull => {
                "Ya espera todo lo que puede esperar. Admita o rechace lo que espera y después reciba el archivo otra vez."
            }
            Self::KeysChanged => {
                "La oficina recibió llaves nuevas mientras tanto. Inicie este programa otra vez; no se perdió nada."
            }
            Self::KeyLost => {
                "Se perdieron las llaves de la oficina. Lo que se recibió sigue aquí; los archivos en camino se abren solo con \
                 la llave de recuperación. Con la llave raíz que está guardada, dele llaves nuevas a la oficina; sin ella, \
                 empiece una oficina nueva e invite otra vez a todos los teléfonos."
            }
        }
    }

    /// [`Code::pack_sentence`] in Spanish.
    pub fn pack_sentence_es(self) -> &'static str {
        match self {
            Self::BadMagic => "No es una clave de síntomas. Pida el archivo que termina en .pack.",
            Self::Cut => "Le falta el final. No se usó nada; pida el archivo otra vez.",
            Self::BadSignature => "Su firma no es válida. No se leyó nada; pida el archivo otra vez a la oficina.",
            Self::UnknownDevice => {
                "Está firmado con una llave en la que aquí no se confía. Pregunte a la oficina con qué llave firma."
            }
            Self::TooNew => {
                "Se hizo para una versión más nueva de este programa. Actualice el programa y recíbalo otra vez."
            }
            Self::TooBig => "Es más grande de lo que puede ser.",
            Self::Schema => "No tiene la forma debida. Pida a quien lo hizo que lo revise.",
            Self::StaleReply => {
                "Es anterior a uno que ya se recibió. No se cambió nada; para volver al anterior, dígalo."
            }
            other => other.sentence_es(),
        }
    }

    /// [`Code::backup_sentence`] in Spanish.
    pub fn backup_sentence_es(self) -> &'static str {
        match self {
            Self::NotForUs => "Es la copia de otra libreta o de otra oficina. No se cambió nada.",
            Self::Cut | Self::PartHash => "Le falta el final o se cambiaron datos. No se usó nada; tome otra copia.",
            Self::BadSignature => "Su firma no es válida. No se usó nada.",
            Self::Schema => "No es una copia que se pueda usar aquí. No se cambió nada.",
            Self::StaleReply => {
                "Es anterior a lo que se sabía cuando se hizo. Dé la más nueva, o diga que es la que quiere."
            }
            other => other.sentence_es(),
        }
    }
}

impl PhotoProblem {
    /// What happened to a photo and what to do, in Spanish.
    pub fn sentence_es(self) -> &'static str {
        match self {
            Self::OtherFormat => "No es JPEG ni PNG. Ponga la cámara para guardar JPEG.",
            Self::TooManyBytes => "El archivo pasa de 32 MiB. Ponga la cámara en un tamaño menor.",
            Self::TooManyPixels => "Tiene más de 40 megapíxeles. Ponga la cámara en un tamaño menor.",
            Self::Damaged => "Está cortada o dañada. Cópiela otra vez o tome otra.",
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_code_has_a_sentence_of_its_own_in_both_languages() {
        let mut seen = BTreeSet::new();
        for code in Code::ALL {
            for (english, spanish) in [
                (code.sentence(), code.sentence_es()),
                (code.pack_sentence(), code.pack_sentence_es()),
                (code.backup_sentence(), code.backup_sentence_es()),
            ] {
                assert_ne!(english, spanish, "{code}");
                assert!(spanish.ends_with('.') && !spanish.contains("  "), "{code}: {spanish}");
            }
            assert!(seen.insert(code.sentence_es()), "{code}: the sentence of another code");
            // Where packs or backups are a case of their own, they are one in both languages.
            assert_eq!(
                [code.pack_sentence(), code.backup_sentence()].map(|s| s == code.sentence()),
                [code.pack_sentence_es(), code.backup_sentence_es()].map(|s| s == code.sentence_es()),
                "{code}"
            );
        }
    }

    #[test]
    fn every_problem_of_a_photo_has_both() {
        use PhotoProblem::{Damaged, OtherFormat, TooManyBytes, TooManyPixels};
        let all = [OtherFormat, TooManyBytes, TooManyPixels, Damaged];
        let said: BTreeSet<_> = all.map(PhotoProblem::sentence_es).into_iter().collect();
        assert_eq!(said.len(), all.len());
        assert!(all.iter().all(|p| p.sentence_es().ends_with('.') && format!("{p}.") != p.sentence_es()));
    }
}
