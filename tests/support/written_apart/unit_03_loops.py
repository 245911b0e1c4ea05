"""Unit 03, step by step."""


def read_address(text):
    parts = [""]
    for character in text:
        if character == ".":
            parts.append("")
        else:
            parts[-1] = parts[-1] + character
    if len(parts) != 4:
        raise ValueError("an address has four parts")
    number = 0
    for part in parts:
        if len(part) < 1 or len(part) > 3:
            raise ValueError("a part has one to three digits")
        if len(part) > 1 and part[0] == "0":
            raise ValueError("leading zero")
        value = 0
        for character in part:
            if character < "0" or character > "9":
                raise ValueError("not a digit")
            value = value * 10 + ord(character) - ord("0")
        if value > 255:
            raise ValueError("a part is at most 255")
        number = number * 256 + value
    return number


def write_address(number):
    text = str(number % 256)
    for _ in range(3):
        number = number // 256
        text = str(number % 256) + "." + text
    return text


def read_prefix(text):
    slash = 0
    while text[slash] != "/":
        slash = slash + 1
    return read_address(text[:slash]), int(text[slash + 1 :])


def room_of(length):
    """How many addresses a prefix of this length has."""
    size = 1
    for _ in range(32 - length):
        size = size * 2
    return size


def address_after(address, steps):
    number = read_address(address) + steps
    if number < 0 or number > 4294967295:
        raise ValueError("no such address")
    return write_address(number)


def describe_link(address, length):
    size = room_of(length)
    number = read_address(address)
    first = number - number % size
    last = first + size - 1
    mask = 4294967296 - size
    if length == 32:
        hosts = 1
    elif length == 31:
        hosts = 2
    else:
        hosts = size - 2
    return write_address(mask), write_address(first), write_address(last), hosts


def neighbourhood(own, other, blocks):
    own_number, own_length = read_prefix(own)
    other_number, other_length = read_prefix(other)
    own_size = room_of(own_length)
    other_size = room_of(other_length)
    by_own = own_number // own_size == other_number // own_size
    by_other = own_number // other_size == other_number // other_size
    best_length = -1
    best_name = None
    for i in range(len(blocks)):
        start, length = read_prefix(blocks[i][0])
        if start <= other_number < start + room_of(length) and length > best_length:
            best_length = length
            best_name = blocks[i][1]
    return by_own, by_other, best_name


def cut_range(low, high):
    """The fewest prefixes for low to high, both included: a list of [start, length]."""
    pieces = []
    while low <= high:
        size = 1
        length = 32
        while length > 0 and low % (size * 2) == 0 and low + size * 2 - 1 <= high:
            size = size * 2
            length = length - 1
        pieces.append([low, length])
        low = low + size
    return pieces


def cut_free(low, high, taken):
    """What is left of low to high; `taken` is a list of (start, length)."""
    pieces = []
    waiting = list(taken)
    while len(waiting) > 0:
        lowest = 0
        for i in range(len(waiting)):
            if waiting[i][0] < waiting[lowest][0]:
                lowest = i
        start, length = waiting.pop(lowest)
        if start > low:
            for piece in cut_range(low, start - 1):
                pieces.append(piece)
        if start + room_of(length) > low:
            low = start + room_of(length)
    for piece in cut_range(low, high):
        pieces.append(piece)
    return pieces


def free_prefixes(first, last, taken):
    prefixes = []
    for i in range(len(taken)):
        prefixes.append(read_prefix(taken[i]))
    result = []
    for start, length in cut_free(read_address(first), read_address(last), prefixes):
        result.append(write_address(start) + "/" + str(length))
    return result


def aggregate_routes(routes):
    table = {}
    for prefix, hop in routes:
        table[read_prefix(prefix)] = hop
    for length in range(32, 0, -1):
        size = room_of(length)
        lower_halves = []
        for start, its_length in table:
            if its_length == length and start % (size * 2) == 0:
                lower_halves.append(start)
        for start in lower_halves:
            upper = (start + size, length)
            if upper in table and table[upper] == table[(start, length)]:
                table[(start, length - 1)] = table[(start, length)]
                del table[(start, length)]
                del table[upper]
    left = []
    for start, length in table:
        around = None
        for shorter in range(length):
            size = room_of(shorter)
            if (start - start % size, shorter) in table:
                around = table[(start - start % size, shorter)]
        if around is None or around != table[(start, length)]:
            left.append((start, length))
    left.sort()
    result = []
    for start, length in left:
        result.append((write_address(start) + "/" + str(length), table[(start, length)]))
    return result


def make_plan(block, kept, needs):
    start, length = read_prefix(block)
    given = []
    for i in range(len(kept)):
        given.append(read_prefix(kept[i]))
    holes = cut_free(start, start + room_of(length) - 1, given)
    lengths = []
    wanted = 0
    for i in range(len(needs)):
        hosts = needs[i][1]
        if hosts == 1:
            its_length = 32
        elif hosts == 2:
            its_length = 31
        else:
            its_length = 30
            while room_of(its_length) - 2 < hosts:
                its_length = its_length - 1
        lengths.append(its_length)
        wanted = wanted + room_of(its_length)
    free = 0
    for hole in holes:
        free = free + room_of(hole[1])
    if wanted > free:
        return [], "too few addresses"
    places = [""] * len(needs)
    for its_length in range(33):
        for i in range(len(needs)):
            if lengths[i] != its_length:
                continue
            best = -1
            for h in range(len(holes)):
                if holes[h][1] > its_length:
                    continue
                if (
                    best == -1
                    or holes[h][1] > holes[best][1]
                    or (holes[h][1] == holes[best][1] and holes[h][0] < holes[best][0])
                ):
                    best = h
            if best == -1:
                return [], "no hole for " + needs[i][0]
            where = holes[best][0]
            end = where + room_of(holes[best][1]) - 1
            del holes[best]
            for piece in cut_range(where + room_of(its_length), end):
                holes.append(piece)
            places[i] = write_address(where) + "/" + str(its_length)
    plan = []
    for i in range(len(needs)):
        plan.append((needs[i][0], places[i]))
    return plan, ""
