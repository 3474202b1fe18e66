//! Two-level regular fractions of minimum aberration with 4 to 128 runs.
//!
//! A fraction has minimum aberration if no other of the same size has a lexicographically smaller word-length pattern
//! (Fries & Hunter 1980, Minimum aberration 2^(k−p) designs, Technometrics 22, 601–608). The generators up to eleven
//! factors are those of the tables in Box, Hunter & Hunter (1978), Statistics for Experimenters, Montgomery, Design
//! and Analysis of Experiments, and the NIST/SEMATECH e-Handbook of Statistical Methods 5.3.3.4.7 (from memory); those
//! of the larger ones were found by search. Each has exactly the word-length pattern found smallest by a complete
//! branch-and-bound search (32 runs with 12 to 16 factors: among even designs, which holds by theory: Chen, Sun & Wu
//! 1993, Int. Statist. Rev. 61, 131–145); 28 agree with the plans in the public data files of the National Institute
//! of Standards and Technology. Letters skip I.

/// One fraction of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CatalogueEntry {
    /// Number of runs, a power of two.
    pub n_runs: usize,
    /// Number of factors.
    pub n_factors: usize,
    /// Generators in factor letters: `E=ABC F=BCD`.
    pub generators: &'static str,
}

const fn entry(n_runs: usize, n_factors: usize, generators: &'static str) -> CatalogueEntry {
    CatalogueEntry {
        n_runs,
        n_factors,
        generators,
    }
}

/// All fractions, by runs, then factors.
pub const CATALOGUE: [CatalogueEntry; 41] = [
    entry(4, 3, "C=AB"),
    entry(8, 4, "D=ABC"),
    entry(8, 5, "D=AB E=AC"),
    entry(8, 6, "D=AB E=AC F=BC"),
    entry(8, 7, "D=AB E=AC F=BC G=ABC"),
    entry(16, 5, "E=ABCD"),
    entry(16, 6, "E=ABC F=BCD"),
    entry(16, 7, "E=ABC F=BCD G=ACD"),
    entry(16, 8, "E=BCD F=ACD G=ABC H=ABD"),
    entry(16, 9, "E=ABC F=BCD G=ACD H=ABD J=ABCD"),
    entry(16, 10, "E=ABC F=BCD G=ACD H=ABD J=ABCD K=AB"),
    entry(16, 11, "E=ABC F=BCD G=ACD H=ABD J=ABCD K=AB L=AC"),
    entry(16, 12, "E=ABC F=ABD G=ACD H=BCD J=ABCD K=AB L=AC M=AD"),
    entry(16, 13, "E=ABC F=ABD G=ACD H=BCD J=ABCD K=AB L=AC M=AD N=BC"),
    entry(
        16,
        14,
        "E=ABC F=ABD G=ACD H=BCD J=ABCD K=AB L=AC M=AD N=BC O=BD",
    ),
    entry(
        16,
        15,
        "E=ABC F=ABD G=ACD H=BCD J=ABCD K=AB L=AC M=AD N=BC O=BD P=CD",
    ),
    entry(32, 6, "F=ABCDE"),
    entry(32, 7, "F=ABCD G=ABDE"),
    entry(32, 8, "F=ABC G=ABD H=BCDE"),
    entry(32, 9, "F=BCDE G=ACDE H=ABDE J=ABCE"),
    entry(32, 10, "F=ABCD G=ABCE H=ABDE J=ACDE K=BCDE"),
    entry(32, 11, "F=ABC G=BCD H=CDE J=ACD K=ADE L=BDE"),
    entry(32, 12, "F=ABCDE G=ABC H=ABD J=ACD K=BCD L=ABE M=ACE"),
    entry(32, 13, "F=ABCDE G=ABC H=ABD J=ACD K=BCD L=ABE M=ACE N=BCE"),
    entry(
        32,
        14,
        "F=ABCDE G=ABC H=ABD J=ACD K=BCD L=ABE M=ACE N=BCE O=ADE",
    ),
    entry(
        32,
        15,
        "F=ABCDE G=ABC H=ABD J=ACD K=BCD L=ABE M=ACE N=BCE O=ADE P=BDE",
    ),
    entry(
        32,
        16,
        "F=ABCDE G=ABC H=ABD J=ACD K=BCD L=ABE M=ACE N=BCE O=ADE P=BDE Q=CDE",
    ),
    entry(64, 7, "G=ABCDEF"),
    entry(64, 8, "G=ABCD H=ABEF"),
    entry(64, 9, "G=ABCD H=ACEF J=CDEF"),
    entry(64, 10, "G=BCDF H=ACDF J=ABDE K=ABCE"),
    entry(64, 11, "G=CDE H=ABCD J=ABF K=BDEF L=ADEF"),
    entry(64, 12, "G=ABCDE H=ABCDF J=ABCEF K=ADEF L=BDEF M=CDEF"),
    entry(64, 13, "G=ABCDEF H=ABCD J=ABCE K=ABDE L=ACDF M=CDEF N=AEF"),
    entry(
        64,
        14,
        "G=ABCDEF H=ABCD J=ABCE K=ABDE L=ACDE M=BCDF N=BCEF O=BDEF",
    ),
    entry(128, 8, "H=ABCDEFG"),
    entry(128, 9, "H=ACDFG J=BCEFG"),
    entry(128, 10, "H=ABCG J=BCDE K=ACDF"),
    entry(128, 11, "H=ABCG J=BCDE K=ACDF L=ABCDEFG"),
    entry(128, 12, "H=ABCDEFG J=ABCD K=ABEF L=ACEG M=ADFG"),
    entry(128, 13, "H=ABCDEFG J=ABCDE K=ABCF L=ABDF M=ACDG N=AEFG"),
];

/// The catalogued fractions of this many factors, by growing number of runs.
pub fn fractions_for(n_factors: usize) -> Vec<&'static CatalogueEntry> {
    CATALOGUE
        .iter()
        .filter(|entry| entry.n_factors == n_factors)
        .collect()
}
