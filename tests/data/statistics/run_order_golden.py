"""Second implementation of the run order, written from the published algorithms; prints the golden orders of
tests/stats/designs.rs and the first word of the key stream.

ChaCha with 8 rounds: Bernstein (2008), layout of RFC 8439 but with a 64-bit counter and a 64-bit stream number.
splitmix64: Steele, Lea and Flood (2014). Bounded numbers: Lemire (2019). Shuffle: Fisher and Yates.
Run: python3 run_order_golden.py
"""
M64 = (1 << 64) - 1
M32 = (1 << 32) - 1


def quarter(s, a, b, c, d):
    def rotate(x, n):
        return ((x << n) | (x >> (32 - n))) & M32

    s[a] = (s[a] + s[b]) & M32
    s[d] = rotate(s[d] ^ s[a], 16)
    s[c] = (s[c] + s[d]) & M32
    s[b] = rotate(s[b] ^ s[c], 12)
    s[a] = (s[a] + s[b]) & M32
    s[d] = rotate(s[d] ^ s[a], 8)
    s[c] = (s[c] + s[d]) & M32
    s[b] = rotate(s[b] ^ s[c], 7)


def chacha8_block(key, counter, stream):
    state = [0x61707865, 0x3320646E, 0x79622D32, 0x6B206574]
    state += [int.from_bytes(key[4 * i : 4 * i + 4], "little") for i in range(8)]
    state += [counter & M32, counter >> 32, stream & M32, stream >> 32]
    work = state[:]
    for _ in range(4):
        quarter(work, 0, 4, 8, 12)
        quarter(work, 1, 5, 9, 13)
        quarter(work, 2, 6, 10, 14)
        quarter(work, 3, 7, 11, 15)
        quarter(work, 0, 5, 10, 15)
        quarter(work, 1, 6, 11, 12)
        quarter(work, 2, 7, 8, 13)
        quarter(work, 3, 4, 9, 14)
    return [(w + s) & M32 for w, s in zip(work, state)]


def words64(key, stream):
    counter = 0
    while True:
        block = chacha8_block(key, counter, stream)
        for i in range(0, 16, 2):
            yield block[i] | block[i + 1] << 32
        counter += 1


def key_of(seed):
    key, state = b"", seed
    for _ in range(4):
        state = (state + 0x9E3779B97F4A7C15) & M64
        z = state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & M64
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & M64
        key += (z ^ (z >> 31)).to_bytes(8, "little")
    return key


def below(words, bound):
    if bound < 2:
        return 0
    product = next(words) * bound
    while product & M64 < (1 << 64) % bound:
        product = next(words) * bound
    return product >> 64


def run_order(seed, n_runs):
    words = words64(key_of(seed), 1 << 32)
    order = list(range(1, n_runs + 1))
    for place in range(n_runs - 1, 0, -1):
        other = below(words, place + 1)
        order[place], order[other] = order[other], order[place]
    return order


first = chacha8_block(bytes(32), 0, 0)[0].to_bytes(4, "little").hex()
print("ChaCha8, zero key:", first)
for seed in (0, 20, M64):
    print(seed, run_order(seed, 16))
