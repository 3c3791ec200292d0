//! The stack in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::same_variants;
use crate::build as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Stack {
    used: bool,
    #[serde(deserialize_with = "boards")]
    boards: Vec<Number>,
    card: Number,
    glue: Number,
    foam_front: bool,
    nose_foam: Number,
    ring_plate: Number,
    closing: Closing,
    allowed_sagitta: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Closing {
    LastBoard,
    MoveDatum,
    Spread,
}

same_variants!(Closing, document::Closing, LastBoard, MoveDatum, Spread);

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Stack, D::Error> {
    checked::whole(deserializer, |stack: &Stack| promise::check_stack(&stack.to_document()))
}

fn boards<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Number>, D::Error> {
    checked::list(deserializer, promise::MAX_BOARDS, |_, board: &Number| promise::check_board(board.0))
}

impl Default for Stack {
    fn default() -> Self {
        Self::from(&document::Build::default().stack)
    }
}

impl Stack {
    pub(super) fn to_document(&self) -> document::Stack {
        document::Stack {
            used: self.used,
            boards: self.boards.iter().map(|board| board.0).collect(),
            card: self.card.0,
            glue: self.glue.0,
            foam_front: self.foam_front,
            nose_foam: self.nose_foam.0,
            ring_plate: self.ring_plate.0,
            closing: self.closing.into(),
            allowed_sagitta: self.allowed_sagitta.0,
        }
    }
}

impl From<&document::Stack> for Stack {
    fn from(stack: &document::Stack) -> Self {
        Self {
            used: stack.used,
            boards: stack.boards.iter().copied().map(Number).collect(),
            card: Number(stack.card),
            glue: Number(stack.glue),
            foam_front: stack.foam_front,
            nose_foam: Number(stack.nose_foam),
            ring_plate: Number(stack.ring_plate),
            closing: stack.closing.into(),
            allowed_sagitta: Number(stack.allowed_sagitta),
        }
    }
}
