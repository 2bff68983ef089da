import DooryardCore
import Foundation

/// What a scout saves in one yard.
struct FieldWork {
    let inquiry: RecordId
    let photo: RecordId
    let finding: RecordId

    /// One inquiry with a plant, a visit, a photo and a finding.
    init(in notebook: FieldNotebook, by scout: String) throws {
        inquiry = try notebook.save(
            kind: .inquiry, id: nil,
            fieldsJson: """
                {"channel": "yard", "taken_by": "\(scout)", "language": "es",
                 "opened": "2026-06-14T10:40:00-05:00[America/Chicago]",
                 "question": "¿Por qué tiene manchas la hoja? 🍁", "summary": "Round spots on a maple, \(scout)"}
                """)
        let plant = try notebook.save(
            kind: .plant, id: nil,
            fieldsJson: """
                {"inquiry": "\(inquiry)", "host": "maple", "host_comfort": 3, "affected": 1, "present": 4}
                """)
        let visit = try notebook.save(
            kind: .visit, id: nil,
            fieldsJson: """
                {"inquiry": "\(inquiry)", "observer": "\(scout)", "minutes": 12, "plants_looked_at": 4,
                 "start": "2026-06-14T10:41:00-05:00[America/Chicago]"}
                """)
        photo = try notebook.addPhoto(
            path: Places.leafPhoto.path,
            fieldsJson: """
                {"part": "close_up", "plant": "\(plant)", "visit": "\(visit)", "inquiry": "\(inquiry)"}
                """)
        finding = try notebook.save(
            kind: .finding, id: nil,
            fieldsJson: """
                {"plant": "\(plant)", "visit": "\(visit)", "character": "leaf_spot", "state": "round", "status": "seen",
                 "comfort": 2, "method": "lens", "photos": ["\(photo)"]}
                """)
    }
}

/// Remembers each step that it was told of. The work calls on the thread that called the work.
final class Steps: ProgressListener, @unchecked Sendable {
    private(set) var seen: [(done: Int64, total: Int64)] = []
    private let then: () throws -> Void

    init(then: @escaping () throws -> Void = {}) {
        self.then = then
    }

    func onProgress(done: Int64, total: Int64) throws {
        seen.append((done, total))
        try then()
    }
}

extension RecordView {
    func text(_ field: String) -> String? { fields.first { $0.name == field }?.shown.text }
}

extension SummaryView {
    func text(_ field: String) -> String? { fields.first { $0.name == field }?.text }
}

/// What `work` throws, when it is an error of the notebook.
func thrown(by work: () throws -> Void) -> NotebookError? {
    do {
        try work()
        return nil
    } catch {
        return error as? NotebookError
    }
}

/// The code with which `work` is refused.
func refusal(of work: () throws -> Void) -> String? {
    guard case .Refused(let code, _, _)? = thrown(by: work) else { return nil }
    return code
}

/// Every record that a notebook shows, deleted ones too.
func everything(in notebook: FieldNotebook) throws -> [RecordId: RecordView] {
    let rows = try notebook.list(request: ListRequest(withHidden: true, limit: 1000)).rows
    return try Dictionary(uniqueKeysWithValues: rows.map { ($0.id, try notebook.show(id: $0.id)) })
}

/// Every file under a folder with its bytes, but for the locks that stand beside an open database.
func filesOf(_ folder: String) throws -> [String: Data] {
    var found: [String: Data] = [:]
    for name in try FileManager.default.subpathsOfDirectory(atPath: folder) where !name.hasSuffix("-shm") {
        var isFolder: ObjCBool = false
        let path = folder + "/" + name
        if FileManager.default.fileExists(atPath: path, isDirectory: &isFolder), !isFolder.boolValue {
            found[name] = try Data(contentsOf: URL(fileURLWithPath: path))
        }
    }
    return found
}

/// Removes everything of a notebook but its key.
func loseAllButTheKey(_ folder: String) throws {
    for name in try FileManager.default.contentsOfDirectory(atPath: folder) where name != "local" {
        try FileManager.default.removeItem(atPath: folder + "/" + name)
    }
}
