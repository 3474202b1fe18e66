//! Reading generators: `E=ABC F=-BCD` in factor letters, `web=speed*gap` in names.

use crate::design::DesignError;
use crate::design::fraction::{Generator, Word};
use crate::factor::{Factor, FactorSpace};

/// Letters of factors in textbooks: I is left out because it stands for the identity.
const LETTERS: &str = "ABCDEFGHJKLMNOPQRSTUVWXYZ";

#[derive(Debug, Clone, PartialEq, Eq)]
enum Token {
    Name(String),
    Equals,
    Times,
    Plus,
    Minus,
    Separator,
}

/// Reads a list of generators, separated by spaces, commas or semicolons.
///
/// Each says that one factor equals the product of others: `E=ABC`, `F = -B*C*D`, `web=speed*gap`. A name is a
/// factor's name (between back-quotes if it holds other than letters, digits and underscores), or a run of letters:
/// the factors' own if these are single letters, else A, B, C, … without I for the two-level factors in their order.
///
/// `factors` are the indices that take part.
pub(crate) fn parse(
    text: &str,
    space: &FactorSpace,
    factors: &[usize],
) -> Result<Vec<Generator>, DesignError> {
    let mut generators: Vec<Generator> = Vec::new();
    let tokens = tokens(text)?;
    let mut rest = tokens.as_slice();
    loop {
        while let [Token::Separator, after @ ..] = rest {
            rest = after;
        }
        let [Token::Name(left), Token::Equals, after @ ..] = rest else {
            if rest.is_empty() {
                break;
            }
            return Err(unreadable(
                text,
                "each generator is a factor, \"=\" and a product of other factors",
            ));
        };
        let (product, after) = parse_product(text, after, space, factors)?;
        let generated = resolve(text, left, space, factors)?;
        let [factor] = generated.as_slice() else {
            return Err(unreadable(
                text,
                &format!("left of \"=\" stands one factor, not \"{left}\""),
            ));
        };
        generators.push(Generator {
            factor: *factor,
            product,
        });
        rest = after;
    }
    check(text, space, &generators)?;
    generators.sort_by_key(|generator| generator.factor);
    Ok(generators)
}

/// A signed product and the tokens after it.
fn parse_product<'a>(
    text: &str,
    tokens: &'a [Token],
    space: &FactorSpace,
    factors: &[usize],
) -> Result<(Word, &'a [Token]), DesignError> {
    let (is_negative, mut rest) = match tokens {
        [Token::Minus, after @ ..] => (true, after),
        [Token::Plus, after @ ..] => (false, after),
        other => (false, other),
    };
    let mut named = Vec::new();
    loop {
        let [Token::Name(name), after @ ..] = rest else {
            return Err(unreadable(
                text,
                "a product of factors is missing after \"=\" or \"*\"",
            ));
        };
        named.extend(resolve(text, name, space, factors)?);
        rest = after;
        let [Token::Times, after @ ..] = rest else {
            break;
        };
        rest = after;
    }
    for (place, factor) in named.iter().enumerate() {
        if named.iter().skip(place + 1).any(|other| other == factor) {
            let name = space.factors().get(*factor).map_or("", Factor::name);
            return Err(unreadable(
                text,
                &format!("a product names \"{name}\" twice"),
            ));
        }
    }
    Ok((Word::new(named, is_negative), rest))
}

fn tokens(text: &str) -> Result<Vec<Token>, DesignError> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        match character {
            '=' => tokens.push(Token::Equals),
            '*' | '×' | '·' => tokens.push(Token::Times),
            '+' => tokens.push(Token::Plus),
            '-' | '−' => tokens.push(Token::Minus),
            ',' | ';' => tokens.push(Token::Separator),
            '`' => {
                let mut name = String::new();
                loop {
                    match characters.next() {
                        Some('`') => break,
                        Some(inside) => name.push(inside),
                        None => return Err(unreadable(text, "a back-quote is not closed")),
                    }
                }
                tokens.push(Token::Name(name));
            }
            space if space.is_whitespace() => {}
            letter if is_name_character(letter) => {
                let mut name = String::from(letter);
                while let Some(next) = characters.next_if(|next| is_name_character(*next)) {
                    name.push(next);
                }
                tokens.push(Token::Name(name));
            }
            other => {
                return Err(unreadable(
                    text,
                    &format!("\"{other}\" has no meaning here"),
                ));
            }
        }
    }
    Ok(tokens)
}

fn is_name_character(character: char) -> bool {
    character.is_alphanumeric() || character == '_'
}

/// The factors that a name or a run of letters stands for.
fn resolve(
    text: &str,
    name: &str,
    space: &FactorSpace,
    factors: &[usize],
) -> Result<Vec<usize>, DesignError> {
    if let Some(factor) = space.index_of(name) {
        return if factors.contains(&factor) {
            Ok(vec![factor])
        } else {
            Err(unreadable(
                text,
                &format!("\"{name}\" has more than two levels and takes no part in the fraction"),
            ))
        };
    }
    let has_own_letters = space
        .factors()
        .iter()
        .any(|factor| factor.name().chars().count() == 1);
    name.chars()
        .map(|letter| {
            let factor = if has_own_letters {
                space
                    .index_of(&letter.to_string())
                    .filter(|factor| factors.contains(factor))
            } else {
                LETTERS
                    .chars()
                    .position(|known| known == letter)
                    .and_then(|place| factors.get(place).copied())
            };
            factor.ok_or_else(|| {
                unreadable(
                    text,
                    &format!("\"{name}\" is no two-level factor and no row of factor letters"),
                )
            })
        })
        .collect()
}

/// Reads generators of the catalogue, whose letters always stand for places.
pub(crate) fn parse_letters(text: &str, factors: &[usize]) -> Result<Vec<Generator>, DesignError> {
    let place = |letter: char| {
        LETTERS
            .chars()
            .position(|known| known == letter)
            .and_then(|place| factors.get(place).copied())
            .ok_or_else(|| unreadable(text, "a letter stands for no factor"))
    };
    text.split_whitespace()
        .map(|generator| {
            let mut letters = generator.chars().filter(|letter| *letter != '=');
            let first = letters
                .next()
                .ok_or_else(|| unreadable(text, "a generator is empty"))?;
            let product = letters.map(place).collect::<Result<Vec<_>, _>>()?;
            Ok(Generator {
                factor: place(first)?,
                product: Word::new(product, false),
            })
        })
        .collect()
}

/// Every generated factor is generated once, from basic factors, from at least two of them.
fn check(text: &str, space: &FactorSpace, generators: &[Generator]) -> Result<(), DesignError> {
    let name = |factor: usize| space.factors().get(factor).map_or("", Factor::name);
    for (place, generator) in generators.iter().enumerate() {
        let others = generators.iter().skip(place + 1);
        if others.clone().any(|other| other.factor == generator.factor) {
            return Err(unreadable(
                text,
                &format!("\"{}\" is generated twice", name(generator.factor)),
            ));
        }
        if generator.product.length() < 2 {
            return Err(unreadable(
                text,
                &format!(
                    "\"{}\" would be the same as \"{}\" in every run",
                    name(generator.factor),
                    generator.product.factors().next().map_or("", name)
                ),
            ));
        }
        if let Some(inner) = generators
            .iter()
            .find(|inner| generator.product.mask() >> inner.factor & 1 == 1)
        {
            return Err(unreadable(
                text,
                &format!(
                    "\"{}\" is generated itself and cannot generate \"{}\"",
                    name(inner.factor),
                    name(generator.factor)
                ),
            ));
        }
        if let Some(twin) = others
            .clone()
            .find(|other| other.product.mask() == generator.product.mask())
        {
            return Err(unreadable(
                text,
                &format!(
                    "\"{}\" and \"{}\" would be the same in every run",
                    name(generator.factor),
                    name(twin.factor)
                ),
            ));
        }
    }
    Ok(())
}

fn unreadable(text: &str, reason: &str) -> DesignError {
    DesignError::BadGenerators {
        text: text.trim().to_owned(),
        reason: reason.to_owned(),
    }
}
